"""A line that says how far something is: rewritten in place on a terminal, kept short in a log.

>>> import io
>>> out = io.StringIO()
>>> progress = ProgressLine("Packages", total=2, out=out)
>>> progress.at(1, "fetched")
>>> progress.done("2 installed")
>>> print(out.getvalue().splitlines()[-1].split(",")[0])
Packages: 2 installed
"""

from __future__ import annotations

import sys
import time
from typing import TextIO


class ProgressLine:
    """Something that takes a while.

    On a terminal the line is rewritten; elsewhere (a log, CI) only the
    beginning and the end are written.
    """

    def __init__(
        self,
        label: str,
        *,
        total: int | None = None,
        out: TextIO | None = None,
        started: float | None = None,
    ) -> None:
        self._label = label
        self._total = total
        self._out = sys.stdout if out is None else out
        self._live = self._out.isatty()
        self._started = time.monotonic() if started is None else started
        self._shown = ""
        self._said: set[str] = set()
        self._show(f"{label} …")

    def at(self, count: int, what: str = "") -> None:
        """Show how many of the total are done; ``what`` names the stage."""
        of = f" of {self._total}" if self._total else ""
        count = min(count, self._total) if self._total else count
        if self._live:
            self._show(f"{self._label}: {count}{of} {what}".rstrip())

    def say(self, sentence: str) -> None:
        """Write a sentence of its own, once."""
        if sentence not in self._said:
            self._said.add(sentence)
            shown = self._shown
            self._show(sentence, end="\n")
            if self._live:
                self._show(shown)

    def done(self, result: str = "done") -> None:
        """End the line with the result and the time it took."""
        seconds = time.monotonic() - self._started
        self._show(f"{self._label}: {result}, {seconds:.0f} s", end="\n")

    def fail(self) -> None:
        """End the line; what went wrong is told by the caller."""
        self._show(f"{self._label}: not finished", end="\n")

    def _show(self, text: str, end: str = "") -> None:
        if self._live:
            padding = " " * max(0, len(self._shown) - len(text))
            self._out.write(f"\r{text}{padding}{end}")
            self._shown = "" if end else text
        else:
            self._out.write(f"{text}\n")
        self._out.flush()
