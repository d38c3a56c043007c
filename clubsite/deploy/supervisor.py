"""Keeps the programs of a server running until somebody ends it, and ends them in order.

A program that dies is started again, at once the first time and more slowly if it
keeps dying. One that lives but does not answer is found by ``watcher`` and started
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

from clubsite.deploy.processes import Janitor, Log, Process
from clubsite.deploy.programs import Program

PAUSES = (0.5, 2.0, 5.0, 15.0, 30.0)
"""Seconds before a program that died is started again; the last one for ever after."""

STEADY_SECONDS = 60.0
"""A program that has run this long counts as healthy again."""

HOPELESS = 3
"""Deaths in a row of a program that has never been steady, after which the start is given up."""


@dataclass(slots=True)
class Upkeep:
    """One program that is kept running: its process, and how it has fared."""

    program: Program
    log: Log
    process: Process | None = None
    deaths: int = 0
    start_at: float = 0.0
    ever_steady: bool = False


class GaveUp(Exception):
    """A program cannot be started; the text says which and shows its last words."""


class Supervisor:
    """Runs programs until ``stop`` is asked for.

    Args:
        environ: the environment variables of every program.
        janitor: notes processes so that none outlives this one.
        make_log: makes the log of a program, by its name.
        say: tells the operator a sentence.
    """

    def __init__(
        self,
        environ: Mapping[str, str],
        *,
        janitor: Janitor,
        make_log: Callable[[str], Log],
        say: Callable[[str], None],
    ) -> None:
        self._environ = environ
        self._janitor = janitor
        self._make_log = make_log
        self._say = say
        self._kept: dict[str, Upkeep] = {}
        self._signals = 0
        self._ear, self._mouth = socket.socketpair()
        for end in (self._ear, self._mouth):
            end.setblocking(False)

    # Starting ------------------------------------------------------------------

    def start(self, program: Program) -> None:
        """Start a program and keep it running from now on."""
        kept = self._kept[program.name] = Upkeep(program, self._make_log(program.name))
        self._launch(kept)

    def _launch(self, kept: Upkeep) -> None:
        try:
            kept.process = Process(
                kept.program.name,
                kept.program.command,
                environ=self._environ,
                rank=kept.program.rank,
                sink=kept.log.write,
                janitor=self._janitor,
                keep_open=kept.program.keep_open,
            )
        except OSError as error:
            # No memory, no process to be had, a file exchanged just now: the others run on.
            why = f"cannot be launched: {error.strerror or error}"
            kept.log.write(why)
            self._note_death(kept, why)

    def uptime(self, name: str) -> float:
        """Seconds since the program was last started; 0 while it is down."""
        kept = self._kept.get(name)
        return kept.process.uptime() if kept and kept.process else 0.0

    def pid(self, name: str) -> int | None:
        """The process of a program, while it runs."""
        kept = self._kept.get(name)
        return kept.process.pid if kept and kept.process else None

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
            GaveUp: when a program keeps dying that has never run.
        """
        self._janitor.renew()
        for kept in self._kept.values():
            if kept.process is not None:
                self._look_at(kept)
            if kept.process is None and time.monotonic() >= kept.start_at:
                self._launch(kept)

    def _look_at(self, kept: Upkeep) -> None:
        assert kept.process is not None
        status = kept.process.status()
        if status is None:
            if kept.process.uptime() > STEADY_SECONDS:
                kept.deaths, kept.ever_steady = 0, True
            return
        kept.process = None
        if self.stopping:
            kept.start_at = float("inf")
            return
        how = f"signal {-status}" if status < 0 else f"status {status}"
        self._note_death(kept, f"ended ({how})", how)

    def _note_death(self, kept: Upkeep, what: str, how: str = "") -> None:
        """Say it, and set when it starts again; GaveUp when it has never run."""
        kept.deaths += 1
        if kept.deaths >= HOPELESS and not kept.ever_steady:
            words = "\n".join(f"  {line}" for line in kept.log.recent())
            raise GaveUp(
                f"The {kept.program.title} does not start ({how or what}). Its last words:\n"
                f"{words}\nAll of them are in {kept.log.path}."
            )
        pause = PAUSES[min(kept.deaths, len(PAUSES)) - 1]
        kept.start_at = time.monotonic() + pause
        self._say(
            f"The {kept.program.title} {what}. It starts again in {pause:g} s. "
            f"Its words are in {kept.log.path}."
        )

    def start_again(self, name: str, why: str) -> None:
        """End a program that lives but does not work, and start it again."""
        kept = self._kept[name]
        if kept.process is None:
            return
        self._say(f"The {kept.program.title} {why}. It is started again.")
        kept.process.stop(min(kept.program.patience, 5.0), hurry=lambda: self.stopping)
        kept.process = None
        kept.start_at = 0.0

    # Ending --------------------------------------------------------------------

    def end_all(self) -> None:
        """Stop every program, one rank after the other; a second signal stops being patient."""
        asked = self._signals
        for kept in sorted(self._kept.values(), key=lambda kept: -kept.program.rank):
            if kept.process is not None:
                kept.process.stop(
                    kept.program.patience, hurry=lambda: self._signals > max(asked, 1)
                )
                kept.process = None
            kept.log.close()
        self._ear.close()
        self._mouth.close()
