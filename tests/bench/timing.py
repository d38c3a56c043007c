"""What the bench programs share: medians, and one way to print them."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable


def median_seconds(action: Callable[[], object], rounds: int) -> float:
    """Return the median time of an action over some rounds, in seconds."""
    times = []
    for _ in range(rounds):
        began = time.perf_counter()
        action()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def show(rows: list[tuple[str, str]]) -> None:
    """Print names and values in two columns."""
    width = max(len(name) for name, _ in rows)
    for name, value in rows:
        print(f"{name:<{width}}  {value}")
