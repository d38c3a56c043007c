"""Slow, silent and greedy connections take neither a thread nor the last place from anybody.

Sources: RFC 9112 (what a whole request is), RFC 9110 section 15.5.14 (413), RFC 9457 (problem
details), PEP 3333 (the application's side); the bounds themselves are our own.
"""

from __future__ import annotations

import json
import re
import socket
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from clubsite.deploy import connections, unread
from clubsite.deploy.connections import BODY_BYTES, THREADS, WebServer

WHOLE = b"GET /page HTTP/1.1\r\nHost: localhost\r\n\r\n"
HALF = b"POST /page HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n\r\nabc"


class Site:
    """An application that tells what it was given, and a server in a thread."""

    def __init__(self, *, proxies: int = 0, most: int = connections.MOST) -> None:
        self.seen: list[dict[str, Any]] = []
        self.ended_threads: list[str] = []
        self.may_answer = threading.Event()
        self.may_answer.set()
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.server = WebServer(
            self.application,
            self.listener,
            proxies=proxies,
            most=most,
            at_end_of_thread=lambda: self.ended_threads.append(threading.current_thread().name),
        )
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        self.open: list[socket.socket] = []

    def application(self, environ: dict[str, Any], start_response: Any) -> list[bytes]:
        self.seen.append(environ)
        self.may_answer.wait(20)
        body = environ["wsgi.input"].read()
        answer = f"{len(body)} bytes".encode()
        start_response("200 OK", [("Content-Length", str(len(answer)))])
        return [answer]

    def connect(self, data: bytes = b"") -> socket.socket:
        made = socket.create_connection(self.listener.getsockname(), timeout=20)
        self.open.append(made)
        if data:
            made.sendall(data)
        return made

    def ask(self, data: bytes = WHOLE) -> str:
        return reply(self.connect(data))

    def close(self) -> None:
        self.may_answer.set()
        self.server.end()
        self.thread.join(20)
        for one in self.open:
            one.close()
        self.listener.close()


def reply(connection: socket.socket) -> str:
    """One answer in whole; empty when the connection is closed before it is there."""
    data = b""
    try:
        while not _whole(data):
            more = connection.recv(1)
            if not more:
                return ""
            data += more
    except ConnectionError:
        return ""
    return data.decode()


def _whole(data: bytes) -> bool:
    head, end, body = data.partition(b"\r\n\r\n")
    length = re.search(rb"Content-Length: (\d+)", head)
    return bool(end) and length is not None and len(body) >= int(length[1])


def until(condition: Callable[[], object], what: str, seconds: float = 20.0) -> None:
    deadline = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < deadline, what
        time.sleep(0.01)


@pytest.fixture
def make() -> Iterator[Callable[..., Site]]:
    made: list[Site] = []

    def one(**options: Any) -> Site:
        made.append(Site(**options))
        return made[-1]

    yield one
    for site in made:
        site.close()


MakeSite = Callable[..., Site]


def test_more_slow_connections_than_threads_keep_nobody_waiting(make: MakeSite) -> None:
    site = make()
    for _ in range(2 * THREADS):
        site.connect()
        site.connect(b"GET /page HT")
        site.connect(HALF)
    until(lambda: len(site.server.active_channels) == 6 * THREADS, "all are there")
    began = time.monotonic()
    assert site.ask().endswith("0 bytes")
    assert time.monotonic() - began < 5.0
    assert len(site.seen) == 1


def test_the_quiet_are_closed_and_those_who_move_are_not(
    make: MakeSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "QUIET_SECONDS", 1.0)
    site = make()
    quiet, half, moving = site.connect(), site.connect(HALF), site.connect(HALF)
    for _ in range(97):
        moving.sendall(b"x")
        time.sleep(0.03)
    assert reply(moving).endswith("100 bytes")
    assert (reply(quiet), reply(half)) == ("", "")


def test_a_request_that_trickles_has_its_time(
    make: MakeSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "WHOLE_SECONDS", 1.0)
    site = make()
    slow = site.connect(HALF)
    closed = False
    for _ in range(90):
        try:
            slow.sendall(b"x")
        except ConnectionError:
            closed = True
            break
        time.sleep(0.1)
    assert closed
    assert site.seen == []


def test_an_answer_that_nobody_fetches_is_given_up(
    make: MakeSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "QUIET_SECONDS", 1.0)
    site = make()
    large = b"x" * 4_000_000

    def application(environ: dict[str, Any], start_response: Any) -> list[bytes]:
        start_response("200 OK", [("Content-Length", str(len(large)))])
        return [large]

    site.server.application = application
    site.connect(WHOLE)
    until(
        lambda: any(c.total_outbufs_len for c in site.server.active_channels.values()), "it waits"
    )
    until(lambda: not site.server.active_channels, "it is closed")


def test_a_page_that_takes_long_is_no_slow_connection(
    make: MakeSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "QUIET_SECONDS", 0.2)
    monkeypatch.setattr(connections, "WHOLE_SECONDS", 0.2)
    site = make()
    site.may_answer.clear()
    asking = site.connect(WHOLE)
    time.sleep(2.5)
    site.may_answer.set()
    assert reply(asking).endswith("0 bytes")


def test_times_are_not_told_by_the_clock_on_the_wall(
    make: MakeSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A day forward closes nobody who has just come; a day back leaves nobody open for a day."""
    monkeypatch.setattr(connections, "QUIET_SECONDS", 3.0)
    site = make()
    true_time = time.time
    for step in (86_400.0, -86_400.0):
        quiet = site.connect(HALF)
        until(lambda: site.server.active_channels, "it is there")
        monkeypatch.setattr(time, "time", lambda step=step: true_time() + step)
        time.sleep(1.5)
        assert site.server.active_channels
        assert reply(quiet) == ""


def test_one_address_has_its_share_and_those_beside_it_get_in(
    make: MakeSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "MOST_OF_ONE_ADDRESS", 20)
    site = make()
    waiting = site.connect(WHOLE)
    assert reply(waiting).endswith("0 bytes")
    slow = [site.connect(HALF) for _ in range(60)]
    until(lambda: reply(slow[39]) == "", "the first have made room")
    assert len(site.server.active_channels) <= 20
    # Who has asked for something before keeps the place, and who is new finds one.
    waiting.sendall(WHOLE)
    assert reply(waiting).endswith("0 bytes")
    assert site.ask().endswith("0 bytes")


def test_behind_a_proxy_all_come_from_one_address(
    make: MakeSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "MOST_OF_ONE_ADDRESS", 5)
    site = make(proxies=1, most=30)
    for _ in range(25):
        site.connect(HALF)
    until(lambda: len(site.server.active_channels) == 25, "all are there")
    for _ in range(25):
        site.connect(HALF)
    assert site.ask().endswith("0 bytes")
    assert len(site.server.active_channels) <= 30


@pytest.mark.parametrize("way", ["said", "in chunks"])
def test_a_body_too_large_is_refused_before_it_is_there(
    make: MakeSite, way: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    files: list[tuple[Any, ...]] = []
    true_file = tempfile.TemporaryFile

    def noted(*arguments: Any) -> Any:
        files.append(arguments)
        return true_file(*arguments)

    monkeypatch.setattr(tempfile, "TemporaryFile", noted)
    site = make()
    sent = 0
    head = b"POST /sign-in/ HTTP/1.1\r\nHost: localhost\r\n"
    if way == "said":
        sending = site.connect(head + b"Content-Length: 400000000\r\n\r\n")
    else:
        sending = site.connect(head + b"Transfer-Encoding: chunked\r\n\r\n")
        chunk = b"8000\r\n" + b"x" * 0x8000 + b"\r\n"
        try:
            while sent < 50_000_000:
                sending.sendall(chunk)
                sent += 0x8000
        except ConnectionError:
            # Refused while more was on its way.
            pass
    answer = reply(sending)
    assert answer.startswith("HTTP/1.1 413 ") or (way == "in chunks" and answer == "")
    assert sent < 20_000_000
    assert (site.seen, files) == ([], [])


def test_a_body_that_the_site_may_refuse_itself_reaches_it(make: MakeSite) -> None:
    site = make()
    body = b"x" * (BODY_BYTES - 1)
    head = f"POST /page HTTP/1.1\r\nHost: localhost\r\nContent-Length: {len(body)}\r\n\r\n"
    assert site.ask(head.encode() + body).endswith(f"{len(body)} bytes")


def test_what_is_refused_unread_is_a_problem_for_programs_and_words_for_people() -> None:
    media, body = unread.answer(413, "/api/v1/tokens/", "exceeds max_body of 1")
    problem = json.loads(body)
    assert media == "application/problem+json"
    assert (problem["status"], problem["type"]) == (413, "/api/v1/problems/too_big")
    problem = json.loads(unread.answer(431, "/api/v1/tokens/", "")[1])
    assert (problem["status"], problem["type"]) == (431, "/api/v1/problems/bad_request")
    words = unread.answer(400, "/", "Invalid header")[1]
    assert words == b"This request cannot be read: Invalid header.\n"


def test_heads_without_end_and_heads_that_are_none(make: MakeSite) -> None:
    site = make()
    large = b"GET / HTTP/1.1\r\n" + b"X-Large: " + b"x" * 40_000 + b"\r\n\r\n"
    assert " 431 " in site.ask(large).split("\r\n")[0]
    for nonsense in (b"nonsense\r\n\r\n", b"GET / HTTP/1.1\r\nHost localhost\r\n\r\n"):
        answer = site.ask(nonsense)
        assert " 400 " in answer.split("\r\n")[0]
        assert "waitress" not in answer.lower()
    both = b"Content-Length: 3\r\nTransfer-Encoding: gzip\r\n\r\nabc"
    assert site.ask(WHOLE[:-2] + both).startswith("HTTP/1.1 501 ")
    assert site.seen == []


@pytest.mark.parametrize(("proxies", "read"), [(0, None), (1, "203.0.113.9, 198.51.100.7")])
def test_forwarding_headers_reach_the_site_only_from_a_proxy(
    make: MakeSite, proxies: int, read: str | None
) -> None:
    """Which entry counts is the site's own rule; here nothing of it is lost, added or believed."""
    site = make(proxies=proxies)
    forged = b"X-Forwarded-For: 203.0.113.9\r\nX-Forwarded-For: 198.51.100.7\r\n"
    forged += b"X_Forwarded_For: 192.0.2.1\r\nX-Forwarded-Proto: https\r\n\r\n"
    site.ask(WHOLE[:-2] + forged)
    environ = site.seen[0]
    assert environ.get("HTTP_X_FORWARDED_FOR") == read
    assert environ.get("HTTP_X_FORWARDED_PROTO") == ("https" if proxies else None)
    assert (environ["REMOTE_ADDR"], environ["wsgi.url_scheme"]) == ("127.0.0.1", "http")


def test_the_end_waits_for_answers_under_way_and_for_nobody_else(make: MakeSite) -> None:
    site = make()
    site.connect()
    site.connect(HALF)
    kept = site.connect(WHOLE)
    assert reply(kept).endswith("0 bytes")
    site.may_answer.clear()
    asking = [site.connect(WHOLE) for _ in range(THREADS + 2)]
    until(lambda: len(site.seen) == 1 + THREADS, "every thread is at work")
    began = time.monotonic()
    site.server.end()
    time.sleep(0.3)
    assert site.thread.is_alive()
    site.may_answer.set()
    for one in asking:
        assert reply(one).endswith("0 bytes")
    site.thread.join(20)
    assert not site.thread.is_alive()
    assert time.monotonic() - began < connections.ENDING_SECONDS
    # Each thread has put its own affairs in order.
    assert len(set(site.ended_threads)) == THREADS
    # The door stays open for the next server: whoever comes now waits in front of it.
    site.connect(WHOLE)


def test_two_requests_on_one_connection_are_answered_in_order(make: MakeSite) -> None:
    site = make()
    post = b"POST /page HTTP/1.1\r\nHost: localhost\r\nContent-Length: 3\r\n\r\nabc"
    both = site.connect(post + WHOLE)
    assert reply(both).endswith("3 bytes")
    assert reply(both).endswith("0 bytes")
