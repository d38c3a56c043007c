"""Runs ``serve`` as an operator does, and reads what it prints."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
import threading
import urllib.request
from pathlib import Path

from clubsite.deploy.janitor import process_lives
from clubsite.deploy.variables import cache_path
from tests.stack.servers import wait_for
from tests.stack.site import NOT_OURS, ROOT

INT, TERM = signal.SIGINT, signal.SIGTERM

STAGES_OF_A_START = (
    "manage.py prepare",
    "manage.py warmup",
    "manage.py demoseed",
    "web_server",
)
"""By the process that marks each: the tables are made, the solver is compiled, the history is
written (of a demo alone), the site opens."""


def surroundings() -> dict[str, str]:
    """The environment of somebody who has set nothing."""
    kept = {name: value for name, value in os.environ.items() if name not in NOT_OURS}
    # The packages of the running tests are the ones to use.
    return {**kept, "WITHIN_EIGHT_SETUP": "off", "PYTHONUNBUFFERED": "1"}


def without_a_note(folder: Path) -> dict[str, str]:
    """The variables of a start that finds the compiled solver, and no note of its being whole."""
    for entry in cache_path().iterdir():
        if not entry.name.startswith(("ready-", ".")):
            (folder / entry.name).symlink_to(entry)
    return {"WITHIN_EIGHT_CACHE": str(folder)}


def manage(
    *words: str, stdin: str | None = None, data: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """Run a command of ``manage.py`` to its end; ``data`` is for commands without ``--data``."""
    environ = surroundings()
    if data is not None:
        environ["WITHIN_EIGHT_DATA"] = str(data)
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=environ,
        input=stdin,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


class Serving:
    """A running ``serve`` (or another command that serves) and its output so far."""

    def __init__(
        self,
        data: Path,
        *options: str,
        command: str = "serve",
        environ: dict[str, str] | None = None,
    ) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "manage.py", command, "--data", str(data), "--port", "0", *options],
            cwd=ROOT,
            env={**surroundings(), **(environ or {})},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        self.pid = self._process.pid
        self.lines: list[str] = []
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self._process.stdout is not None
        with self._process.stdout as stream:
            for line in stream:
                self.lines.append(line.rstrip("\n"))

    @property
    def text(self) -> str:
        """All that was printed so far."""
        return "\n".join(self.lines)

    def wait_until_open(self) -> str:
        """Wait for the last line of the greeting; returns the printed address."""

        def opened() -> bool:
            assert self._process.poll() is None, self.text
            return "Ctrl-C ends it." in self.text

        wait_for(opened, "the site opens", 120)
        found = re.search(r"http://127\.0\.0\.1:\d+", self.text)
        assert found is not None, self.text
        return found[0]

    def wait_for_line(self, part: str, seconds: float = 60.0) -> None:
        """Wait until a line with ``part`` in it is printed."""
        wait_for(lambda: part in self.text, f"the words {part!r} in\n{self.text}", seconds)

    def family(self) -> list[int]:
        """All processes below it, from ``/proc``."""
        found: list[int] = []
        todo = [self.pid]
        while todo:
            pid = todo.pop()
            children = Path(f"/proc/{pid}/task/{pid}/children")
            below: list[int] = []
            with contextlib.suppress(OSError):
                below = [int(word) for word in children.read_text().split()]
            found += below
            todo += below
        return found

    def child(self, mark: str) -> int:
        """The process directly below it whose command line holds ``mark``."""
        children = Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text().split()
        for pid in children:
            # It may have ended since.
            with contextlib.suppress(OSError):
                if mark in Path(f"/proc/{pid}/cmdline").read_text().replace("\0", " "):
                    return int(pid)
        return 0

    def send(self, number: signal.Signals) -> None:
        """Send it a signal."""
        self._process.send_signal(number)

    def wait(self, seconds: float = 60.0) -> int:
        """Wait for its end; returns its exit status."""
        status = self._process.wait(timeout=seconds)
        self._reader.join(timeout=10)
        return status

    def close(self) -> None:
        """End it whatever its state, and wait until nothing of it is left."""
        if self._process.poll() is None:
            family = self.family()
            self._process.terminate()
            try:
                self.wait(40)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self.wait()
            assert_gone(family)


def end_at(one: Serving, stage: str, number: signal.Signals) -> None:
    """End it by a signal once it has come to a stage: in quiet, and all that is below it."""
    wait_for(lambda: one.child(stage), stage, 120)
    family = one.family()
    one.send(number)
    assert one.wait() in (0, 130), one.text
    assert "Traceback" not in one.text
    assert_gone(family, seconds=10)


def assert_gone(pids: list[int], seconds: float = 30.0) -> None:
    """Every process has ended, or ends within a generous time."""

    def gone() -> bool:
        return not any(process_lives(pid) for pid in pids)

    wait_for(gone, "all processes have ended", seconds)


def get(url: str) -> tuple[int, str]:
    """Status and text of a page."""
    with urllib.request.urlopen(url, timeout=30) as answer:
        return answer.status, answer.read().decode()
