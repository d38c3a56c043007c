"""What is done once before the parts start: programs that run to their end, with progress."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from clubsite.deploy.processes import Child, Guardian
from clubsite.deploy.progress import Progress

SILENT_SECONDS = 1.5
"""A step that is quicker than this is not worth a line."""


class StepFailed(Exception):
    """A step ended badly; the text holds its last words."""


class Step:
    """A program that has to end well before the server opens.

    Args:
        label: what the operator reads while it runs.
        command: program and arguments.
        environ: all of its environment.
        guard: notes it, so that it does not outlive this process.
        result: what the operator reads when it is done.
        tells: whether it is given ``--tell FD`` to report in JSON.
    """

    def __init__(
        self,
        label: str,
        command: Sequence[str],
        *,
        environ: Mapping[str, str],
        guard: Guardian,
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
        self._child = Child(
            label,
            command,
            environ=environ,
            rank=4,
            sink=self.lines.append,
            guard=guard,
            keep_open=keep_open,
        )
        for descriptor in keep_open:
            os.close(descriptor)

    def finish(self, stopping: Callable[[], bool] = lambda: False) -> dict[str, Any]:
        """Wait for the end; returns what it told.

        Raises:
            StepFailed: when it ends badly.
            KeyboardInterrupt: when ``stopping`` becomes true meanwhile.
        """
        progress: Progress | None = None
        while (status := self._child.status()) is None:
            if stopping():
                self._child.stop(5.0)
                raise KeyboardInterrupt
            if progress is None and self._child.uptime() > SILENT_SECONDS:
                progress = Progress(self._label, started=self._child.started)
            time.sleep(0.02)
        if status != 0:
            if progress is not None:
                progress.fail()
            words = "\n".join(self.lines[-12:])
            raise StepFailed(f"{words}\n{self._label}: this step ended with status {status}.")
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
