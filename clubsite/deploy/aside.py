"""Work beside an open server: a management command that runs once, its lines told as they come."""

from __future__ import annotations

import queue
from collections.abc import Callable, Mapping

from clubsite.deploy import programs
from clubsite.deploy.processes import Janitor, Process


class Aside:
    """One such command.

    Args:
        name: the command of ``manage.py``.
        environ: all of its environment.
        janitor: notes it, so that it does not outlive the server.
        say: tells the operator a line.
    """

    def __init__(
        self,
        name: str,
        environ: Mapping[str, str],
        janitor: Janitor,
        say: Callable[[str], None],
    ) -> None:
        self._say = say
        self._name = name
        self._lines: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._over = False
        self._process = Process(
            name,
            programs.manage(name),
            # Its news is what the command itself says; what it logs is about its own work.
            environ={**environ, "LOG_LEVEL": "ERROR"},
            rank=4,
            sink=self._lines.put,
            janitor=janitor,
        )

    def look(self) -> None:
        """Tell what it has said since the last look, and how it ended if it did not end well."""
        if self._over:
            return
        status = self._process.status()
        while not self._lines.empty():
            self._say(self._lines.get())
        if status is not None:
            self._over = True
            if status != 0:
                self._say(
                    f"This ended with status {status}. It is tried again at the next start, "
                    f"or by:  python3 manage.py {self._name}"
                )

    def end(self) -> None:
        """Ask it to end, as the server ends; what it has done stays done."""
        if not self._over:
            self._process.stop(5.0)
            self._over = True
