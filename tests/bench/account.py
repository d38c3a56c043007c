"""How long the whole account of 100,000 plans takes, their reports present.

    python -m tests.bench.account

Two thousand plans are checked (shortest ways, ways without an idea, and one in
seven that does not solve) and told fifty times over, to a thousand members.
Kept as they are beside a set's sums (JSON of few letters), as reports in
memory, and as reports read back from dictionaries. Then one look at three ideas
of 1,000 members.
"""

from __future__ import annotations

import json
import random

from solverworker.cube.cross import STATE_COUNT
from solverworker.report import PlanReport
from solverworker.review import check_plan
from tests.bench.recovery.kinds import KINDS, scramble
from tests.bench.timing import median_seconds, show
from training import looks
from training.account import Account, Kept, Sums, account_of, crossed, to_json
from training.statistics import Tally

DIFFERENT, TIMES, MEMBERS = 2_000, 50, 1_000
MIXED = ("no weakness", "no relative build", "edge by edge", "equals above target")
SLIPS = ("wrong direction",)


def reports() -> list[PlanReport]:
    """Check plans of random crosses, from a seed."""
    source = random.Random(9)
    found = []
    for number in range(DIFFERENT):
        kind = KINDS[(*MIXED, *SLIPS)[number % 5]]
        rank = source.randrange(1, STATE_COUNT)
        plan = kind.writes(rank, source)
        found.append(check_plan(scramble(rank), plan, colours=["white"]))
    return found


def _account(checked: list[Kept]) -> Account:
    sums = Sums()
    for one in checked:
        sums.add(one)
    return sums.account({})


def main() -> None:
    """Measure and print."""
    checked = reports()
    kept = [to_json(crossed(one)) for one in checked]
    texts = [json.dumps(kept)] * TIMES
    dictionaries = [one.to_dict() for one in checked]
    solved = sum(one.solved for one in checked) / len(checked)

    def of_kept() -> list[Account]:
        return [_account(json.loads(text)) for text in texts]

    def of_reports() -> list[Account]:
        return [account_of(map(crossed, checked)) for _ in range(TIMES)]

    def of_dictionaries() -> list[Account]:
        return [
            account_of(crossed(PlanReport.from_dict(one)) for one in dictionaries)
            for _ in range(TIMES)
        ]

    assert of_kept() == of_reports()
    plans = DIFFERENT * TIMES
    source = random.Random(10)
    club = [
        {code: Tally(min(called, source.randrange(31)), called) for code in looks.IDEAS}
        for called in (source.randrange(5, 31) for _ in range(MEMBERS))
    ]
    targets = dict.fromkeys(looks.IDEAS, 0.7)
    show(
        [
            (f"{plans:,} plans, solved", f"{solved:.0%}"),
            ("as kept beside sums", f"{median_seconds(of_kept, 3):.2f} s"),
            ("reports in memory", f"{median_seconds(of_reports, 3):.2f} s"),
            ("reports from dictionaries", f"{median_seconds(of_dictionaries, 3):.2f} s"),
            (
                f"one look at all ideas of {MEMBERS:,} members",
                f"{median_seconds(lambda: looks.read_group(club, targets), 3):.2f} s",
            ),
        ]
    )


if __name__ == "__main__":
    main()
