"""Connections of the web process: a thread sees only what has come in whole, and nobody waits.

waitress reads requests and sends answers in one loop that never blocks, so a connection that
says nothing, or one byte a second, holds no thread. It would hold a *place* for ever, though,
and waitress takes no new connection once the places are gone. So here each has a time to be
done by, told by a clock that only goes forward, and when places run out the connection that has
waited longest without ever having asked for anything makes room.
"""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable, Iterable
from typing import Any

from waitress import wasyncore
from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.server import TcpWSGIServer
from waitress.task import ErrorTask, ThreadedTaskDispatcher

THREADS = 8
QUIET_SECONDS = 20.0
"""A connection on which nothing moves for so long is closed."""
WHOLE_SECONDS = 60.0
"""So long a request may take to come in, and an answer to be fetched."""
MOST = 1000
MOST_OF_ONE_ADDRESS = 100
"""A club's hall is one address, and a browser opens up to six connections at a time."""
HEADER_BYTES = 32 * 1024
BODY_BYTES = 320 * 1024
"""A little more than the site reads (256 KB), so that the usual excess is answered by the site."""

ENDING_SECONDS = 8.0
"""How long answers under way are waited for at the end; programs.py gives a little more."""
ENDING_SECONDS_OF_HALF = 2.0
"""How long a request that has come in by half is waited for at the end."""


class Refused(ErrorTask):  # type: ignore[misc]
    """What cannot be read is refused as everything else: to programs as problem details."""

    def execute(self) -> None:
        from clubsite.deploy.unread import answer

        error = self.request.error
        path = getattr(self.request, "path", "")
        content_type, body = answer(error.code, path, str(error.body))
        self.status = f"{error.code} {error.reason}"
        self.response_headers.append(("Content-Type", content_type))
        self.response_headers.append(("Cache-Control", "private, no-store"))
        self.set_close_on_finish()
        self.content_length = len(body)
        self.write(body)


class Connection(HTTPChannel):  # type: ignore[misc]
    """One connection, with the instants by which it is judged (of ``time.monotonic``).

    Attributes:
        moved: when a byte last came or went.
        since: when it was opened, or when its last answer was ready.
        has_asked: whether a request ever came in whole.
    """

    error_task_class = Refused

    def __init__(self, server: Any, sock: Any, addr: Any, adj: Any, map: Any = None) -> None:
        self.moved = self.since = time.monotonic()
        self.has_asked = False
        self.serving = False
        super().__init__(server, sock, addr, adj, map=map)

    def received(self, data: bytes) -> bool:
        self.moved = time.monotonic()
        return bool(super().received(data))

    def _flush_some(self, do_close: bool = True) -> bool:
        sent = bool(super()._flush_some(do_close))
        if sent:
            self.moved = time.monotonic()
        return sent

    def service(self) -> None:
        self.serving = self.has_asked = True
        try:
            super().service()
        finally:
            # In this order: whoever finds it idle finds it young.
            self.since = self.moved = time.monotonic()
            self.serving = False

    @property
    def at_work(self) -> bool:
        """Whether an answer is being made, or waits for a thread."""
        return bool(self.serving or self.requests)

    @property
    def idle(self) -> bool:
        """Whether nobody waits for anything: no request by half, none whole, nothing to send."""
        return not (self.at_work or self.total_outbufs_len or self.request is not None)

    def overdue(self, now: float) -> bool:
        """Whether its time is over."""
        if self.at_work:
            return False
        return now - self.moved > QUIET_SECONDS or now - self.since > WHOLE_SECONDS


class Threads(ThreadedTaskDispatcher):  # type: ignore[misc]
    """The threads that make answers; each closes its own connection to the database at its end."""

    def __init__(self, at_end: Callable[[], object]) -> None:
        super().__init__()
        self._at_end = at_end

    def handler_thread(self, thread_no: int) -> None:
        try:
            super().handler_thread(thread_no)
        finally:
            self._at_end()


class WebServer(TcpWSGIServer):  # type: ignore[misc]
    """Serves an application on a socket that listens already.

    Args:
        application: the site.
        listener: the socket; it is left open at the end.
        proxies: how many proxies of ours stand in front. With none, what visitors say in
            forwarding headers is dropped, and connections are counted by address; behind one all
            of them come from the proxy, whose work the counting is then.
        at_end_of_thread: called in each thread when it ends.
    """

    channel_class = Connection

    def __init__(
        self,
        application: Any,
        listener: Any,
        *,
        proxies: int,
        most: int = MOST,
        at_end_of_thread: Callable[[], object] = lambda: None,
    ) -> None:
        adjustments = Adjustments(
            sockets=[listener],
            threads=THREADS,
            ident="Within Eight",
            max_request_header_size=HEADER_BYTES,
            max_request_body_size=BODY_BYTES,
            # More than a body can have: nothing of a request is ever written to disk.
            inbuf_overflow=2 * BODY_BYTES,
            # `NUM_PROXIES` is the one rule by which the site reads them.
            clear_untrusted_proxy_headers=proxies == 0,
            asyncore_use_poll=True,
        )
        threads = Threads(at_end_of_thread)
        threads.set_thread_count(THREADS)
        self._most = most
        self._most_of_one = most if proxies else min(MOST_OF_ONE_ADDRESS, most)
        self._ending = False
        self._look_at = 0.0
        own = listener.dup()
        super().__init__(
            application,
            {},
            _sock=own,
            dispatcher=threads,
            adj=adjustments,
            bind_socket=False,
            sockinfo=(own.family, own.type, own.proto, own.getsockname()),
        )

    # The loop -------------------------------------------------------------------

    def readable(self) -> bool:
        """Whether new connections are taken; room is made for them, so always but at the end."""
        return bool(self.accepting)

    def run(self) -> None:
        """Serve until ``end`` is called, then finish what is under way."""
        while not self._ending:
            self._round()
        self.accepting = False
        began = time.monotonic()
        while (now := time.monotonic()) < began + ENDING_SECONDS:
            for connection in self._connections():
                half = connection.request is not None and not connection.at_work
                if connection.idle or (half and now > began + ENDING_SECONDS_OF_HALF):
                    connection.handle_close()
            if not self.active_channels:
                break
            self._round(0.05)
        self.task_dispatcher.shutdown(timeout=1)
        wasyncore.close_all(self._map)

    def end(self) -> None:
        """Ask for the end; may be called by a signal's handler."""
        self._ending = True
        # Asked a second time, it may have ended.
        with contextlib.suppress(OSError):
            self.pull_trigger()

    def _round(self, timeout: float = 1.0) -> None:
        known = len(self.active_channels)
        wasyncore.loop(timeout=timeout, use_poll=True, map=self._map, count=1)
        # Between two looks at the sockets: within one a closed one's number may be another's.
        if len(self.active_channels) > known:
            self._make_room()
        now = time.monotonic()
        if now >= self._look_at:
            self._look_at = now + 1.0
            for connection in self._connections():
                if connection.overdue(now):
                    connection.handle_close()

    def _connections(self) -> list[Connection]:
        return list(self.active_channels.values())

    # The bounds -----------------------------------------------------------------

    def _make_room(self) -> None:
        """Close one connection when there is one too many, of an address or in all."""
        every = self._connections()
        if len(every) <= self._most_of_one:
            return
        newest = every[-1]
        near = [one for one in every if one.addr[0] == newest.addr[0]]
        if len(near) > self._most_of_one:
            _longest_waiting(near).handle_close()
        elif len(every) > self._most:
            _longest_waiting(every).handle_close()


def _longest_waiting(connections: Iterable[Connection]) -> Connection:
    """The one to close: the oldest that never asked for anything, else the oldest that is idle."""

    def order(one: Connection) -> tuple[bool, bool, bool, float]:
        return one.at_work, one.has_asked, one.has_asked and not one.idle, one.since

    return min(connections, key=order)
