"""The mathematics of crosses, and the workers that check plans with it.

From a notebook or a program of your own, without Django and without a server::

    from solverworker import check_plan, solve

>>> solve("R D", colours=["yellow"])["yellow"].solutions
("D' R'",)
>>> report = check_plan("R D", "U D' R'", colours=["yellow"])
>>> report.solved, report.moves, report.best, report.excess
(True, 3, 2, 1)
>>> [row.loss for row in report.ledger]
[1, 0, 0]

Cross states are seen with the cross colour at the bottom (yellow, as every
scramble starts):

>>> state = cross_after("R D2 F")
>>> distance(state), quarter_distance(state), len(shortest_solutions(state))
(3, 4, 1)
>>> sorted(techniques_used(cross_after("D R"), "R' D'"))
['relative_build']
>>> entry = cross_atlas().entry(cross_after("D R"))
>>> entry.distance, entry.count, sorted(entry.every)
(2, 1, ['relative_build'])

Scrambles of random states, the same again by a seed, and crosses to a profile:

>>> draw_scrambles(2, seed="lantern").texts == draw_scrambles(2, seed="lantern").texts
True
>>> matching(Profile(lengths=(5, 6), called=frozenset({"base_turn"})))
83394
>>> text = draw_picked(Profile(colours=("white",), lengths=(3, 4)), Stream("lantern"))
>>> 3 <= solve(text, colours=["white"])["white"].best <= 4
True

Names are loaded when they are first used: importing this package alone loads
neither numpy nor compiled code.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from solverworker.cube.chance import Stream as Stream
    from solverworker.cube.cross import CrossState as CrossState
    from solverworker.cube.hands import HandCost as HandCost
    from solverworker.cube.notation import NotationError as NotationError
    from solverworker.notebook import cross_after as cross_after
    from solverworker.notebook import techniques_used as techniques_used
    from solverworker.report import PlanReport as PlanReport
    from solverworker.review import check_pair as check_pair
    from solverworker.review import check_plan as check_plan
    from solverworker.review import solve as solve
    from solverworker.review import with_pair as with_pair
    from solverworker.search.cross import distance as distance
    from solverworker.search.cross import distance_table as distance_table
    from solverworker.search.cross import shortest_solutions as shortest_solutions
    from solverworker.search.pair import table as pair_table  # noqa: F401
    from solverworker.search.quarters import quarter_distance as quarter_distance
    from solverworker.search.quarters import quarter_distance_table as quarter_distance_table
    from solverworker.search.scramble import draw_scrambles as draw_scrambles
    from solverworker.techniques import TECHNIQUES as TECHNIQUES
    from solverworker.techniques.atlas_maker import atlas as cross_atlas  # noqa: F401
    from solverworker.techniques.profiles import Profile as Profile
    from solverworker.techniques.profiles import draw_picked as draw_picked
    from solverworker.techniques.profiles import matching as matching

_HOMES = {
    "CrossState": "cube.cross",
    "HandCost": "cube.hands",
    "NotationError": "cube.notation",
    "PlanReport": "report",
    "Profile": "techniques.profiles",
    "Stream": "cube.chance",
    "TECHNIQUES": "techniques",
    "check_pair": "review",
    "check_plan": "review",
    "cross_after": "notebook",
    "cross_atlas": "techniques.atlas_maker:atlas",
    "distance": "search.cross",
    "distance_table": "search.cross",
    "draw_picked": "techniques.profiles",
    "draw_scrambles": "search.scramble",
    "matching": "techniques.profiles",
    "pair_table": "search.pair:table",
    "quarter_distance": "search.quarters",
    "quarter_distance_table": "search.quarters",
    "shortest_solutions": "search.cross",
    "solve": "review",
    "techniques_used": "notebook",
    "with_pair": "review",
}

__all__ = sorted(_HOMES)  # loaded when asked for


def __getattr__(name: str) -> Any:
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, _, renamed = home.partition(":")
    return getattr(importlib.import_module(f"{__name__}.{module}"), renamed or name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOMES})
