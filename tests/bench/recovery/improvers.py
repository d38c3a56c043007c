"""Is somebody told to have improved among equals, where nothing changed?

Members at .85 for three ideas, 60 plans in the eight weeks before and 30 in the
last four; points a plan against the others are alike. Goal: in 10 % of looks
at most.
"""

from __future__ import annotations

import numpy as np

from tests.bench.recovery.equals import CALLED, PLANS, RATE, SIZES
from training.improving import Change, IdeaChange, PointsChange, improved
from training.statistics import Tally

LOOKS = 500
SETS = (56, 28)
"""A set a day in the eight weeks, and in the last four."""

POINTS_SD = 1.5


def anybody(source: np.random.Generator, size: int) -> bool:
    """Whether one look at a club of equals tells of anybody."""
    changes: list[Change] = []
    for member in range(size):
        for code, share in CALLED.items():
            tallies = []
            for plans in (PLANS, PLANS // 2):
                called = int(source.binomial(plans, share))
                tallies.append(Tally(int(source.binomial(called, RATE)), called))
            changes.append(IdeaChange(member, code, *tallies))
        points = [tuple(source.normal(0, POINTS_SD, sets).tolist()) for sets in SETS]
        changes.append(PointsChange(member, *points))
    return bool(improved(changes))


def main() -> None:
    """Simulate and print."""
    source = np.random.default_rng(20261126)
    for size in SIZES:
        told = sum(anybody(source, size) for _ in range(LOOKS))
        print(f"{size:>2} equals: somebody improved in {told / LOOKS:.1%} of {LOOKS} looks")
