"""What it takes to say what a plan leaves for the first pair.

    python -m tests.bench.pair_left

Random crosses with a shortest way each, and every cross of eight moves: the
whole outlook (own plan, all shortest ways, all ways one move longer, the hands,
the six colours), and the search of the ways with what they leave alone. Then
the same with a pair planned ahead. Of each plan the least of three rounds
counts, because the machine has other work too.
"""

from __future__ import annotations

import os
import random
import statistics
import time
from collections.abc import Callable

from tests.bench.timing import show

PLANS = 400


def each(action: Callable[[str, str], object], some: list[tuple[str, str]]) -> list[float]:
    """Return the time of an action over plans, in milliseconds."""
    times = [float("inf")] * len(some)
    for _ in range(3):
        for place, (scramble, plan) in enumerate(some):
            began = time.perf_counter()
            action(scramble, plan)
            times[place] = min(times[place], 1000 * (time.perf_counter() - began))
    return times


def main() -> None:
    """Measure and print."""
    from solverworker.cube.cross import after
    from solverworker.cube.cross import code as code_of
    from solverworker.cube.turns import TURN_NUMBERS, write_turns
    from solverworker.review import plan_outlook
    from solverworker.review.outlook import every_way
    from solverworker.search import pair
    from solverworker.search.cross import codes, shortest_solutions, solutions_of_code, tables
    from solverworker.search.pair_left import left_after, pairs_after

    pair.table()
    source = random.Random(11)

    def random_plan() -> tuple[str, str]:
        turns = [source.randrange(18) for _ in range(25)]
        return write_turns(turns), write_turns(source.choice(shortest_solutions(after(turns))))

    def eight_mover(code: int) -> tuple[str, str]:
        # A way backwards is a scramble of the cross; what the other pieces do is chance.
        way = source.choice(solutions_of_code(code).tolist())
        scramble = [3 * (turn // 3) + 2 - turn % 3 for turn in reversed(way)]
        return write_turns(scramble), write_turns(way)

    eight = [int(code) for code in codes() if tables().distances[code] == 8]
    random_ones = [random_plan() for _ in range(PLANS)]
    eight_ones = [eight_mover(code) for code in eight]
    counts: list[int] = []

    def ways_alone(scramble: str, plan: str) -> None:
        turns = [TURN_NUMBERS[one] for one in scramble.split()]
        code = code_of(after(turns))
        for length in (len(plan.split()), len(plan.split()) + 1):
            found = every_way(code, length)
            left_after(pair.table(), pairs_after(turns), found)
            counts.append(len(found))

    def whole(scramble: str, plan: str) -> None:
        plan_outlook(scramble, plan, colours=["yellow"])

    def ahead(scramble: str, plan: str) -> None:
        plan_outlook(scramble, plan, colours=["yellow"], pair_ahead="U R U' R'")

    def told(times: list[float]) -> str:
        return (
            f"mean {statistics.mean(times):.2f} ms, median {statistics.median(times):.2f} ms, "
            f"most {max(times):.1f} ms"
        )

    rows = [("load of the machine, a minute", f"{os.getloadavg()[0]:.1f}")]
    for name, some in (("random crosses", random_ones), ("eight-movers", eight_ones)):
        counts.clear()
        alone = each(ways_alone, some)
        rows += [
            (f"{len(some)} {name}, ways and what they leave", told(alone)),
            (
                "  ways looked at a plan: mean, most of a length",
                f"{_mean(counts)}, {max(counts):,}",
            ),
            (f"{len(some)} {name}, whole outlook", told(each(whole, some))),
            (f"{len(some)} {name}, with a pair ahead", told(each(ahead, some))),
        ]
    show(rows)


def _mean(counts: list[int]) -> str:
    return f"{2 * statistics.mean(counts):,.0f}"


if __name__ == "__main__":
    main()
