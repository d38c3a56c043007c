"""What is done once before a server opens: programs that run to their end, with progress."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from clubsite.deploy.processes import Janitor, Process
from clubsite.deploy.progress_line import ProgressLine

SILENT_SECONDS = 1.5
"""A preparation that is quicker than this is not worth a line."""


MISTAKEN = 2
"""The exit status of a command that could not read its options or settings."""


class PreparationFailed(Exception):
    """A preparation ended badly; the text holds its last words.

    ``status``: its exit status.
    """

    def __init__(self, label: str, status: int, lines: Sequence[str]) -> None:
        self.status = status
        words = "\n".join(lines[-12:])
        if status != MISTAKEN:
            words += f"\n{label}: this step ended with status {status}."
        super().__init__(words)


class Preparation:
    """A program that has to end well before the server opens.

    Args:
        label: what the operator reads while it runs.
        command: program and arguments.
        environ: all of its environment.
        janitor: notes it, so that it does not outlive this process.
        result: what the operator reads when it is done.
        tells: whether it is given ``--tell FD`` to report in JSON.
    """

    def __init__(
        self,
        label: str,
        command: Sequence[str],
        *,
        environ: Mapping[str, str],
        janitor: Janitor,
        result: str = "done",
        tells: bool = False,
    ) -> None:
        self._label = label
        self._result = result
        self.lines: list[str] = []
        self._told: int | None = None
        keep_open: list[int] = []
        if tells:
            self._told, far_end = os.pipe()
            keep_open.append(far_end)
            command = [*command, "--tell", str(far_end)]
        self._process = Process(
            label,
            command,
            environ=environ,
            rank=4,
            sink=self.lines.append,
            janitor=janitor,
            keep_open=keep_open,
        )
        for descriptor in keep_open:
            os.close(descriptor)

    def finish(self, stopping: Callable[[], bool] = lambda: False) -> dict[str, Any]:
        """Wait for the end; returns what it told.

        Raises:
            PreparationFailed: when it ends badly.
            KeyboardInterrupt: when ``stopping`` becomes true meanwhile.
        """
        progress: ProgressLine | None = None
        while (status := self._process.status()) is None:
            if stopping():
                self._process.stop(5.0)
                raise KeyboardInterrupt
            if progress is None and self._process.uptime() > SILENT_SECONDS:
                progress = ProgressLine(self._label, started=self._process.started)
            time.sleep(0.02)
        if status != 0:
            if progress is not None:
                progress.fail()
            raise PreparationFailed(self._label, status, self.lines)
        if progress is not None:
            progress.done(self._result)
        return self._read()

    def _read(self) -> dict[str, Any]:
        if self._told is None:
            return {}
        with os.fdopen(self._told, encoding="utf-8") as stream:
            text = stream.read()
        found = json.loads(text) if text else {}
        return found if isinstance(found, dict) else {}
