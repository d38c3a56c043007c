"""Whether somebody has set this machine's clock.

Standard library alone.
"""

from __future__ import annotations

import time
from collections.abc import Callable

SLACK_SECONDS = 5.0
"""Less than this is no step: clocks are drawn straight a little all the time."""

# Goes on while the machine sleeps, where there is such a clock: waking up is no step.
_STEADY = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)


def steady() -> float:
    """Seconds of a clock that nobody sets."""
    return time.clock_gettime(_STEADY)


class WallClock:
    """Compares the time of day with a clock that nobody sets.

    Args:
        wall: the time of day in seconds.
        steady: seconds of a clock that nobody sets.
    """

    def __init__(
        self, wall: Callable[[], float] = time.time, steady: Callable[[], float] = steady
    ) -> None:
        self._wall = wall
        self._steady = steady
        self._apart = wall() - steady()

    def stepped(self) -> float:
        """Seconds by which it was set since the start: below 0 if back, 0 if not at all."""
        step = self._wall() - self._steady() - self._apart
        return step if abs(step) > SLACK_SECONDS else 0.0

    def newly_stepped(self) -> float:
        """The same since the last call that found a step."""
        step = self.stepped()
        self._apart += step
        return step


def in_words(step: float) -> str:
    """What an operator reads.

    >>> in_words(-86400.2)
    'The clock of this machine was set back by 24 h 0 min.'
    """
    minutes, seconds = divmod(round(abs(step)), 60)
    long = f"{minutes // 60} h {minutes % 60} min" if minutes else f"{seconds} s"
    return f"The clock of this machine was set {'back' if step < 0 else 'forward'} by {long}."
