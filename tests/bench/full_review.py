"""What the full review of a plan takes: ledger, techniques, blame, handling, lost moves, words.

    python -m tests.bench.full_review

Plans as members make them: shortest ones, ones that avoid an idea, ones with a
slip, edge by edge, and one in eight not solved. *Review* is all that a worker
does and stores for a plan; *words of lost moves* is what a page says of them;
*every way in words* the stories of all shortest solutions kept with a verdict.
Then blame alone, the same by the slow twin, and `checkplan --batch`.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import time
from collections.abc import Callable

from tests.bench.timing import median_seconds, show

PLANS = 600


def plans(count: int) -> list[tuple[str, str]]:
    """Make scrambles and plans from a seed."""
    from solverworker.cube.cross import after
    from solverworker.cube.turns import TURN_NAMES, write_turns
    from solverworker.search.cross import shortest_solutions
    from training.management.demo.habits import edge_by_edge, with_slips, without

    source = random.Random(7)

    def shortest(state, chance):  # type: ignore[no-untyped-def]
        return chance.choice(shortest_solutions(state))

    habits = [
        shortest,
        without("relative_build"),
        without("shared_turn"),
        with_slips(shortest, one_in=1),
        edge_by_edge,
    ]
    found = []
    for number in range(count):
        turns = [source.randrange(18) for _ in range(25)]
        plan = habits[number % len(habits)](after(turns), source)
        text = write_turns(plan)
        if number % 8 == 0:
            text = f"{text} {source.choice(TURN_NAMES)}"
        found.append((write_turns(turns), text))
    return found


def each(action: Callable[[str, str], object], some: list[tuple[str, str]]) -> tuple[float, float]:
    """Return the median and the mean time of an action over plans, in seconds.

    Of each plan the least of three rounds counts, because the machine has other work too.
    """
    times = [float("inf")] * len(some)
    for _ in range(3):
        for place, (scramble, plan) in enumerate(some):
            began = time.perf_counter()
            action(scramble, plan)
            times[place] = min(times[place], time.perf_counter() - began)
    return statistics.median(times), statistics.mean(times)


def main() -> None:
    """Measure and print."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubsite.settings.test")
    import django

    django.setup()
    from solverworker import words
    from solverworker.cube.cross import after, code
    from solverworker.cube.turns import TURN_NUMBERS
    from solverworker.review import check_plan
    from solverworker.review.blame import blame_of
    from tests.bench.checkplan_batch import answer
    from tests.reference import slow_blame

    def numbers(text: str) -> list[int]:
        return [TURN_NUMBERS[name] for name in text.split()]

    some = plans(PLANS)
    rows: list[tuple[str, str]] = []

    def note(name: str, times: tuple[float, float]) -> None:
        rows.append((name, f"{times[0] * 1e3:.3f} ms median, {1 / times[1]:,.0f} a second"))

    def review(scramble: str, plan: str) -> object:
        return check_plan(scramble, plan, colours=["yellow"]).to_dict()

    reports = {pair: check_plan(*pair, colours=["yellow"]) for pair in some}

    def lost(scramble: str, plan: str) -> object:
        return words.losses(scramble, reports[scramble, plan])

    def stories(scramble: str, plan: str) -> object:
        ways = reports[scramble, plan].shortest
        return [words.story_in_words(scramble, way) for way in ways]

    def both(scramble: str, plan: str) -> object:
        report = check_plan(scramble, plan, colours=["yellow"])
        return report.to_dict(), words.losses(scramble, report)

    note("review of a plan, as stored", each(review, some))
    note("review with the words of its lost moves", each(both, some))
    note("words of lost moves alone", each(lost, some))
    note("every way in words (up to 12)", each(stories, some))
    solved = [pair for pair in some if reports[pair].solved]
    note(
        "techniques and blame alone",
        each(lambda s, p: blame_of(code(after(numbers(s))), numbers(p)), solved),
    )
    slow_blame.review(slow_blame.state_after(["R"]), ["R'"])  # the reference's own tables
    note(
        "the same by the slow twin",
        each(
            lambda s, p: slow_blame.review(slow_blame.state_after(s.split()), p.split()),
            solved[:60],
        ),
    )
    data = "".join(
        json.dumps({"scramble": scramble, "plan": plan, "colours": ["yellow"]}) + "\n"
        for scramble, plan in some
    ).encode()
    seconds = median_seconds(lambda: answer(data), 5)
    rows.append(("checkplan --batch with techniques and blame", f"{PLANS / seconds:,.0f} a second"))
    size = statistics.mean(len(json.dumps(report.to_dict())) for report in reports.values())
    rows.append(("a stored report", f"{size / 1024:.1f} kB on average"))
    show(rows)


if __name__ == "__main__":
    main()
