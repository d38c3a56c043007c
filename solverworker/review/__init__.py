"""What a plan is worth, and why.

>>> report = check_plan("R D", "D' R'", colours=["yellow"])
>>> report.solved, report.moves, report.best, report.excess
(True, 2, 2, 0)
"""

from solverworker.review.check import check_plan, no_plan, plan_slips
from solverworker.review.outlook import plan_outlook
from solverworker.review.pair import (
    PairReport,
    PairTableMissing,
    WithPair,
    check_pair,
    with_pair,
)
from solverworker.review.solve import ColourSolutions, solve

__all__ = [
    "ColourSolutions",
    "PairReport",
    "PairTableMissing",
    "WithPair",
    "check_pair",
    "check_plan",
    "no_plan",
    "plan_outlook",
    "plan_slips",
    "solve",
    "with_pair",
]
