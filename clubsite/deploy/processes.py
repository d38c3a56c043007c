"""Processes that never outlive their supervisor, and where their words go."""

from __future__ import annotations

import contextlib
import errno
import os
import signal
import stat
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import IO

from clubsite.deploy import janitor as janitor_program
from clubsite.deploy.checkout import ROOT
from clubsite.logs import without_tokens

_NO_ROOM = (errno.ENOSPC, errno.EDQUOT)


class Janitor:
    """The supervisor's side of ``clubsite.deploy.janitor``: notes what was started and ended."""

    def __init__(self, keep_open: Sequence[int] = ()) -> None:
        """Start the janitor; it keeps the files ``keep_open`` open as long as it lives."""
        self._keep_open = tuple(keep_open)
        self._noted: dict[int, int] = {}
        self._lock = threading.Lock()
        self._process = self._start()

    def _start(self) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-I", "-S", str(Path(janitor_program.__file__))],
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            text=True,
            pass_fds=self._keep_open,
            start_new_session=True,
            cwd="/",
        )

    def note(self, pid: int, rank: int) -> None:
        """A process group has been started; groups of a higher rank are ended first."""
        with self._lock:
            self._noted[pid] = rank
            self._tell(f"+ {pid} {rank}")

    def forget(self, pid: int) -> None:
        """A process group has ended."""
        with self._lock:
            if self._noted.pop(pid, None) is not None:
                self._tell(f"- {pid}")

    def renew(self) -> None:
        """Start the janitor again if something killed it."""
        with self._lock:
            if self._process.poll() is not None:
                self._close()
                try:
                    self._process = self._start()
                except OSError:
                    # No process to be had just now: the next round tries again.
                    return
                for pid, rank in self._noted.items():
                    self._tell(f"+ {pid} {rank}")

    def dismiss(self) -> None:
        """The supervisor ends: the janitor may go, after it has ended what is still noted.

        Nothing is, when all was stopped in order; something is, when the end came in the middle
        of a start.
        """
        with self._lock:
            if not self._noted:
                self._tell("end")
            self._close()
        self._process.wait(timeout=10 + janitor_program.PATIENCE_SECONDS * len(self._noted))

    def _close(self) -> None:
        if self._process.stdin is not None:
            with contextlib.suppress(OSError):
                self._process.stdin.close()

    def _tell(self, line: str) -> None:
        stream = self._process.stdin
        if stream is not None:
            with contextlib.suppress(OSError, ValueError):
                stream.write(line + "\n")
                stream.flush()


class Process:
    """A program that runs, in a session of its own, with its output read to the end.

    Args:
        name: how people call it.
        command: program and arguments.
        environ: all of its environment.
        rank: groups of a higher rank are ended first.
        sink: called with each line that the process writes.
        janitor: notes it, so that it does not outlive its supervisor.
        keep_open: file descriptors that it inherits.
    """

    def __init__(
        self,
        name: str,
        command: Sequence[str],
        *,
        environ: Mapping[str, str],
        rank: int,
        sink: Callable[[str], None],
        janitor: Janitor,
        keep_open: Sequence[int] = (),
    ) -> None:
        self.name = name
        self.started = time.monotonic()
        self._janitor = janitor
        self._popen = subprocess.Popen(
            list(command),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            errors="replace",
            env=dict(environ),
            cwd=ROOT,
            pass_fds=tuple(keep_open),
            start_new_session=True,
        )
        self.pid = self._popen.pid
        janitor.note(self.pid, rank)
        assert self._popen.stdout is not None
        self._reader = threading.Thread(
            target=_read, args=(self._popen.stdout, sink), name=f"{name}-output", daemon=True
        )
        self._reader.start()

    def status(self) -> int | None:
        """The exit status, or None while it runs."""
        status = self._popen.poll()
        if status is not None:
            self._mop_up()
        return status

    def uptime(self) -> float:
        """Seconds since it was started."""
        return time.monotonic() - self.started

    def ask_to_end(self) -> None:
        """Send SIGTERM to the process (not to those below it: they are its own to end)."""
        if self._popen.poll() is None:
            self._popen.terminate()

    def stop(self, patience: float, hurry: Callable[[], bool] = lambda: False) -> bool:
        """Ask it to end, then make it. Returns whether asking was enough.

        ``hurry`` is asked all the while; once it is true, patience is over.
        """
        self.ask_to_end()
        until = time.monotonic() + patience
        while self._popen.poll() is None and time.monotonic() < until and not hurry():
            time.sleep(0.02)
        willing = self._popen.poll() is not None
        self._mop_up()
        return willing

    def _mop_up(self) -> None:
        """Kill what is left of its group, and read its last words."""
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(self.pid, signal.SIGKILL)
        self._popen.wait()
        self._janitor.forget(self.pid)
        self._reader.join(timeout=2)


def _read(stream: IO[str], sink: Callable[[str], None]) -> None:
    """Read to the end, whatever becomes of the lines: a full pipe would stop the program."""
    with stream:
        for line in stream:
            with contextlib.suppress(OSError):
                sink(line.rstrip("\n"))


class Log:
    """A log file that is set aside at a size, so that a forgotten server fills no disk.

    Where there is no room, lines are lost and counted, and writing goes on as soon as there is
    room again. A new file is readable by its owner alone; one that is there keeps its mode, also
    when it is set aside and begun anew. No line holds a link that lets somebody in.
    """

    def __init__(self, path: Path, *, most: int = 5_000_000, echo: str = "") -> None:
        self.path = path
        self._most = most
        self._echo = echo
        self._recent: list[str] = []
        self._lost = 0
        self._torn = False
        self._closed = False
        self._lock = threading.Lock()
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        self._mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o600
        self._handle: int | None = None
        try:
            self._handle = self._open()
        except OSError as error:
            if error.errno not in _NO_ROOM:
                raise

    def write(self, line: str) -> None:
        """Keep one line, if there is room. Raises nothing for the file's sake."""
        line = without_tokens(line)
        with self._lock:
            if self._closed:
                return
            self._recent = [*self._recent[-19:], line]
            try:
                self._keep(line)
            except OSError:
                self._lost += 1
        if self._echo:
            print(f"{self._echo}: {line}", flush=True)

    def close(self) -> None:
        """Write no more."""
        with self._lock:
            self._closed = True
            if self._handle is not None:
                os.close(self._handle)
                self._handle = None

    def recent(self, count: int = 5) -> list[str]:
        """The last lines written during this run."""
        with self._lock:
            return self._recent[-count:]

    def _keep(self, line: str) -> None:
        if self._handle is None:
            self._handle = self._open()
        if os.fstat(self._handle).st_size > self._most:
            self._handle = self._set_aside(self._handle)
        if self._torn:
            self._put(self._handle, "")
            self._torn = False
        if self._lost:
            lines = "1 line" if self._lost == 1 else f"{self._lost} lines"
            self._put(self._handle, f"({lines} before this one found no room.)")
            self._lost = 0
        self._put(self._handle, line)

    def _put(self, handle: int, line: str) -> None:
        left = f"{line}\n".encode(errors="backslashreplace")
        while left:
            done = os.write(handle, left)
            # True until the whole line is there: the disk may be full in its middle.
            self._torn = done < len(left)
            left = left[done:]

    def _open(self) -> int:
        handle = os.open(self.path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, self._mode)
        # What a mask of the shell's took away.
        os.fchmod(handle, self._mode)
        return handle

    def _set_aside(self, handle: int) -> int:
        """Begin a new file; the old one is written on when that cannot be had."""
        self._mode = stat.S_IMODE(os.fstat(handle).st_mode)
        with contextlib.suppress(OSError):
            self.path.replace(self.path.with_suffix(".1.log"))
        try:
            fresh = self._open()
        except OSError:
            return handle
        os.close(handle)
        return fresh
