"""What the bench programs share: medians, and one way to print them."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

FIVE_CROSSES = [
    [5, 0, 5, None, 0, {}, ["base_turn"], ["base_turn"]],
    [6, 0, 6, None, 0, {}, ["relative_build", "shared_turn"], ["relative_build", "shared_turn"]],
    [6, 1, 6, 4, 0, {"base_turn": "1/2", "relative_build": "1/2"}, ["base_turn"], []],
    [6, 1, 6, 3, 1, {"undone_moves": "1"}, ["shared_turn"], ["shared_turn"]],
    [7, 2, 7, 5, 0, {"relative_build": "5/3", "spare_top_moves": "1/3"}, ["relative_build"], []],
]
"""What summaries keep of a set's five plans (``training.account.to_json``), to fill tables with."""


def median_seconds(action: Callable[[], object], rounds: int) -> float:
    """Return the median time of an action over some rounds, in seconds."""
    times = []
    for _ in range(rounds):
        began = time.perf_counter()
        action()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def median_of_both(action: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Return median times, in seconds: by the clock, and of this process's processor alone.

    On a busy machine the second says what the first cannot; a database's own work is not in it.
    """
    times = []
    for _ in range(rounds):
        began = time.perf_counter(), time.process_time()
        action()
        times.append((time.perf_counter() - began[0], time.process_time() - began[1]))
    return statistics.median(one for one, _ in times), statistics.median(own for _, own in times)


def show(rows: list[tuple[str, str]]) -> None:
    """Print names and values in two columns."""
    width = max(len(name) for name, _ in rows)
    for name, value in rows:
        print(f"{name:<{width}}  {value}")
