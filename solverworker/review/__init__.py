"""What a plan is worth, and why.

>>> report = check_plan("R D", "D' R'", colours=["yellow"])
>>> report.solved, report.moves, report.best, report.excess
(True, 2, 2, 0)
"""

from solverworker.review.check import check_plan, no_plan
from solverworker.review.solve import ColourSolutions, solve

__all__ = ["ColourSolutions", "check_plan", "no_plan", "solve"]
