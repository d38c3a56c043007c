"""Keeps the parts of a server running until somebody ends it, and ends them in order.

A part that dies is started again, at once the first time and more slowly if it
keeps dying. A part that lives but does not answer is found by ``watcher`` and started
again too. Signals only wake the loop up: all work is done in the main thread.
"""

from __future__ import annotations

import contextlib
import select
import signal
import socket
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import FrameType

from clubsite.deploy.parts import Part
from clubsite.deploy.processes import Child, Guardian, Log

PAUSES = (0.5, 2.0, 5.0, 15.0, 30.0)
"""Seconds before a part that died is started again; the last one for ever after."""

STEADY_SECONDS = 60.0
"""A part that has run this long counts as healthy again."""

HOPELESS = 3
"""Deaths in a row of a part that has never been steady, after which the start is given up."""


@dataclass(slots=True)
class Slot:
    """One part, its process, and how it has fared."""

    part: Part
    log: Log
    child: Child | None = None
    deaths: int = 0
    start_at: float = 0.0
    ever_steady: bool = False


class GaveUp(Exception):
    """A part cannot be started; the text says which and shows its last words."""


class Supervisor:
    """Runs parts until ``stop`` is asked for.

    Args:
        environ: the environment of every part.
        guard: notes processes so that none outlives this one.
        make_log: makes the log of a part, by its name.
        say: tells the operator a sentence.
    """

    def __init__(
        self,
        environ: Mapping[str, str],
        *,
        guard: Guardian,
        make_log: Callable[[str], Log],
        say: Callable[[str], None],
    ) -> None:
        self._environ = environ
        self._guard = guard
        self._make_log = make_log
        self._say = say
        self._slots: dict[str, Slot] = {}
        self._signals = 0
        self._ear, self._mouth = socket.socketpair()
        for end in (self._ear, self._mouth):
            end.setblocking(False)

    # Starting ------------------------------------------------------------------

    def start(self, part: Part) -> None:
        """Start a part and keep it running from now on."""
        slot = self._slots[part.name] = Slot(part, self._make_log(part.name))
        self._launch(slot)

    def _launch(self, slot: Slot) -> None:
        slot.child = Child(
            slot.part.name,
            slot.part.command,
            environ=self._environ,
            rank=slot.part.rank,
            sink=slot.log.write,
            guard=self._guard,
            keep_open=slot.part.keep_open,
        )

    def uptime(self, name: str) -> float:
        """Seconds since the part was last started; 0 while it is down."""
        slot = self._slots.get(name)
        return slot.child.uptime() if slot and slot.child else 0.0

    def pid(self, name: str) -> int | None:
        """The process of a part, while it runs."""
        slot = self._slots.get(name)
        return slot.child.pid if slot and slot.child else None

    # Running -------------------------------------------------------------------

    @property
    def stopping(self) -> bool:
        """Whether the end was asked for."""
        return self._signals > 0

    def stop(self) -> None:
        """Ask for the end, as a signal would."""
        self._signals += 1

    @contextlib.contextmanager
    def listening(self) -> Iterator[None]:
        """Take Ctrl-C, SIGTERM and a closed terminal as the wish to end."""

        def note(number: int, frame: FrameType | None) -> None:
            if number != signal.SIGCHLD:
                self._signals += 1

        numbers = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGCHLD)
        before = {number: signal.signal(number, note) for number in numbers}
        awake = signal.set_wakeup_fd(self._mouth.fileno(), warn_on_full_buffer=False)
        try:
            yield
        finally:
            signal.set_wakeup_fd(awake)
            for number, handler in before.items():
                signal.signal(number, handler)

    def rest(self, seconds: float) -> None:
        """Sleep until a signal comes, at most so long."""
        select.select([self._ear], [], [], seconds)
        with contextlib.suppress(BlockingIOError):
            self._ear.recv(4096)

    def look_after(self) -> None:
        """One round: note what has died, start what is due.

        Raises:
            GaveUp: when a part keeps dying that has never run.
        """
        self._guard.renew()
        for slot in self._slots.values():
            if slot.child is not None:
                self._look_at(slot)
            if slot.child is None and time.monotonic() >= slot.start_at:
                self._launch(slot)

    def _look_at(self, slot: Slot) -> None:
        assert slot.child is not None
        status = slot.child.status()
        if status is None:
            if slot.child.uptime() > STEADY_SECONDS:
                slot.deaths, slot.ever_steady = 0, True
            return
        slot.child = None
        if self.stopping:
            slot.start_at = float("inf")
            return
        slot.deaths += 1
        how = f"signal {-status}" if status < 0 else f"status {status}"
        if slot.deaths >= HOPELESS and not slot.ever_steady:
            words = "\n".join(f"  {line}" for line in slot.log.recent())
            raise GaveUp(
                f"The {slot.part.title} does not start ({how}). Its last words:\n{words}\n"
                f"All of them are in {slot.log.path}."
            )
        pause = PAUSES[min(slot.deaths, len(PAUSES)) - 1]
        slot.start_at = time.monotonic() + pause
        self._say(
            f"The {slot.part.title} ended ({how}). It starts again in {pause:g} s. "
            f"Its words are in {slot.log.path}."
        )

    def start_again(self, name: str, why: str) -> None:
        """End a part that lives but does not work, and start it again."""
        slot = self._slots[name]
        if slot.child is None:
            return
        self._say(f"The {slot.part.title} {why}. It is started again.")
        slot.child.stop(min(slot.part.patience, 5.0), hurry=lambda: self.stopping)
        slot.child = None
        slot.start_at = 0.0

    # Ending --------------------------------------------------------------------

    def end_all(self) -> None:
        """Stop every part, one rank after the other; a second signal stops being patient."""
        asked = self._signals
        for slot in sorted(self._slots.values(), key=lambda slot: -slot.part.rank):
            if slot.child is not None:
                slot.child.stop(slot.part.patience, hurry=lambda: self._signals > max(asked, 1))
                slot.child = None
            slot.log.close()
        self._ear.close()
        self._mouth.close()
