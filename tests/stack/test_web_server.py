"""The web process as it is: its bounds, its files, its log and its end.

Sources: RFC 9110 (HEAD, conditional requests, 413), RFC 9457 (problem details), RFC 9112.
"""

from __future__ import annotations

import http.client
import json
import signal
import socket
from collections.abc import Iterator
from contextlib import ExitStack

import pytest

from tests.stack.site import Site

SLOW = 24
"""Three times the threads."""
HALF = b"POST /sign-in/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 900\r\n\r\nx"


class Visitor:
    """Opens connections, and closes them at the end."""

    def __init__(self, site: Site, at_end: ExitStack) -> None:
        self._site = site
        self._at_end = at_end

    def http(self) -> http.client.HTTPConnection:
        made = http.client.HTTPConnection("127.0.0.1", self._site.port, timeout=20)
        self._at_end.callback(made.close)
        return made

    def raw(self, data: bytes = b"") -> socket.socket:
        made = socket.create_connection(("127.0.0.1", self._site.port), timeout=20)
        self._at_end.callback(made.close)
        made.sendall(data)
        return made


@pytest.fixture
def visitor(small_site: Site) -> Iterator[Visitor]:
    with ExitStack() as at_end:
        yield Visitor(small_site, at_end)


def test_from_the_first_connection_to_the_last(small_site: Site, visitor: Visitor) -> None:
    site = small_site
    site.start("web")
    site.wait_until_open()
    web = site.processes["web"]
    for number in range(SLOW):
        visitor.raw(HALF if number % 2 else b"")

    # Pages and files are there all the same.
    asking = visitor.http()
    asking.request("GET", "/static/training/css/base.css", headers={"Host": "localhost"})
    found = asking.getresponse()
    sheet = found.read()
    assert found.status == 200, found.status
    assert int(found.headers["Content-Length"]) == len(sheet) > 1000
    asking.request("HEAD", "/static/training/css/base.css", headers={"Host": "localhost"})
    head = asking.getresponse()
    assert (head.status, head.read(), head.headers["Content-Length"]) == (200, b"", str(len(sheet)))
    when = {"Host": "localhost", "If-Modified-Since": found.headers["Last-Modified"]}
    asking.request("GET", "/static/training/css/base.css", headers=when)
    same = asking.getresponse()
    assert (same.status, same.read()) == (304, b"")

    # A large upload is refused at its head, by a page or by problem details.
    head = b"POST /sign-in/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 400000000\r\n"
    sending = visitor.raw(head + b"Content-Type: multipart/form-data; boundary=b\r\n\r\n")
    assert b" 413 " in sending.recv(1000)
    asking = visitor.http()
    asking.putrequest("POST", "/api/v1/tokens/", skip_host=True)
    asking.putheader("Host", "localhost")
    asking.putheader("Content-Length", "400000000")
    asking.endheaders()
    refused = asking.getresponse()
    assert (refused.status, refused.headers["Content-Type"]) == (413, "application/problem+json")
    assert json.loads(refused.read())["type"] == "/api/v1/problems/too_big"

    # A link that lets somebody in is not in the log when it leads nowhere, or is filled in wrongly.
    for path in ("/join/no-such-invitation-at-all/", "/start/no-such-link-at-all/"):
        asking = visitor.http()
        asking.request("GET", path, headers={"Host": "localhost"})
        assert asking.getresponse().status in {404, 410}
    log = site.logs["web"].read_text()
    assert "/join/…/" in log
    assert "no-such" not in log

    # The end comes soon, whoever still holds a connection.
    web.send_signal(signal.SIGTERM)
    assert web.wait(10) == 0
    assert "Traceback" not in site.logs["web"].read_text()
