"""How a page fares while others hold connections open: silent, half-open and trickling ones.

    python -m tests.bench.slow_connections [HOST:PORT]

Without an address a site on SQLite is started, as `serve` runs it behind a proxy: all connections
come from one address, so the bound for each address must not help. Half-open is a request whose
body does not come; a trickling one sends a byte of it each second.
"""

from __future__ import annotations

import contextlib
import http.client
import socket
import statistics
import sys
import threading
import time
from collections.abc import Iterator

from tests.bench.timing import show
from tests.stack.site import Site, short_folder

KINDS = (("silent", 200), ("half-open", 40), ("trickling", 40))
LOOKS = 60
PATIENCE = 10.0
HEAD = b"POST /sign-in/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5000\r\n\r\n"


@contextlib.contextmanager
def own_site() -> Iterator[tuple[str, int]]:
    """A site on SQLite with one web process; nothing else of it runs."""
    with short_folder() as folder:
        site = Site(folder, database_url="", broker_url="memory://")
        site.environ["NUM_PROXIES"] = "1"
        try:
            site.prepare()
            site.start("web")
            site.wait_until_open()
            yield "127.0.0.1", site.port
        finally:
            site.close()


class Crowd:
    """The slow ones. Trickling ones send a byte a second; who is cut off comes again."""

    def __init__(self, host: str, port: int) -> None:
        self._address = (host, port)
        self._open: list[socket.socket] = []
        self._trickling: list[socket.socket] = []
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._trickle, daemon=True)
        self._thread.start()

    def add(self, kind: str, count: int) -> None:
        for _ in range(count):
            made = self._connect(kind)
            (self._trickling if kind == "trickling" else self._open).append(made)
        time.sleep(1.0)

    def _connect(self, kind: str) -> socket.socket:
        made = socket.create_connection(self._address, timeout=PATIENCE)
        if kind != "silent":
            made.sendall(HEAD)
        return made

    def _trickle(self) -> None:
        while not self._ended.wait(1.0):
            for place, one in enumerate(list(self._trickling)):
                try:
                    one.sendall(b"x")
                except OSError:
                    one.close()
                    self._trickling[place] = self._connect("trickling")

    def close(self) -> None:
        self._ended.set()
        self._thread.join()
        for one in (*self._open, *self._trickling):
            one.close()


def looks(host: str, port: int) -> str:
    """The times of one page, each look on a connection of its own."""
    times = []
    for _ in range(LOOKS):
        began = time.perf_counter()
        connection = http.client.HTTPConnection(host, port, timeout=PATIENCE)
        try:
            connection.request("GET", "/sign-in/", headers={"Host": "localhost"})
            answer = connection.getresponse()
            answer.read()
            assert answer.status == 200, answer.status
        except OSError:
            return f"no answer within {PATIENCE:g} s (look {len(times) + 1} of {LOOKS})"
        finally:
            connection.close()
        times.append(time.perf_counter() - began)
    times.sort()
    return f"median {statistics.median(times) * 1000:.0f} ms, slowest {times[-1] * 1000:.0f} ms"


def measure(host: str, port: int) -> list[tuple[str, str]]:
    """The page's times, with more and more slow connections."""
    rows = [("nobody else", looks(host, port))]
    crowd = Crowd(host, port)
    there = []
    try:
        for kind, count in KINDS:
            crowd.add(kind, count)
            there.append(f"{count} {kind}")
            rows.append((" + ".join(there), looks(host, port)))
    finally:
        crowd.close()
    return rows


def main(arguments: list[str]) -> None:
    """Measure and print."""
    if arguments:
        host, _, port = arguments[0].rpartition(":")
        show(measure(host, int(port)))
        return
    with own_site() as (host, own_port):
        show(measure(host, own_port))


if __name__ == "__main__":
    main(sys.argv[1:])
