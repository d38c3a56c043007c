"""The mathematics of crosses: distances, shortest solutions, what a plan is worth, scrambles.

A library of its own: it needs numpy and numba, neither Django nor a server.

>>> from solverworker import SOLVER_VERSION, check_plan, solve
>>> solve("R D", colours=["yellow"])["yellow"].solutions  # easiest on the hands first
("D' R'",)
>>> report = check_plan("R D", "U D' R'", colours=["yellow"])
>>> report.solved, report.moves, report.best, report.excess
(True, 3, 2, 1)
>>> [row.loss for row in report.ledger]
[1, 0, 0]
>>> report.version == SOLVER_VERSION  # of the rules by which plans are checked
True

Texts are in club spelling (:mod:`solverworker.cube.notation`), scrambles with
white on top and green in front. ``solve(..., hands=HandCost(...))`` orders by a
cost of your own. What cannot be read raises NotationError, which says where.

**Cross states** are seen with the cross colour at the bottom (yellow, as every
scramble starts), and turns are numbers:

>>> from solverworker import cross_after, distance, quarter_distance, shortest_solutions
>>> from solverworker import turn_name, turn_number
>>> state = cross_after("R D2 F")
>>> distance(state), quarter_distance(state)  # a half turn counts two quarter turns
(3, 4)
>>> [[turn_name(turn) for turn in way] for way in shortest_solutions(state)]
[["F'", 'D2', "R'"]]
>>> turn_number("F'")
8

``distance_table()`` and ``quarter_distance_table()`` are arrays of all 190,080.

**Ideas** (techniques) and what is known of every cross:

>>> from solverworker import TECHNIQUES, cross_atlas, techniques_used
>>> sorted(techniques_used(cross_after("D R"), "R' D'"))
['relative_build']
>>> TECHNIQUES["relative_build"].example
('D R', "R' D'")
>>> entry = cross_atlas().entry(cross_after("D R"))
>>> entry.distance, entry.count, sorted(entry.every)
(2, 1, ['relative_build'])

**Scrambles** of random states, the same again by a seed on every machine, and
crosses to a profile:

>>> from solverworker import Profile, Stream, draw_picked, draw_scrambles, matching
>>> draw_scrambles(2, seed="lantern").texts == draw_scrambles(2, seed="lantern").texts
True
>>> matching(Profile(lengths=(5, 6), called=frozenset({"base_turn"})))
83394
>>> text = draw_picked(Profile(colours=("white",), lengths=(3, 4)), Stream("lantern"))
>>> 3 <= solve(text, colours=["white"])["white"].best <= 4
True

**Cross and first pair**, slot by slot; the table is made at first need (36 MB,
some seconds):

>>> from solverworker import pair_table, with_pair
>>> table = pair_table()
>>> with_pair("R U F2 D B", colours=["white"])["white"].slots
{'green-orange': 4, 'blue-orange': 3, 'blue-red': 4, 'green-red': 5}

What a plan leaves for the first pair, beside the best of all shortest crosses
and of all one move longer:

>>> from solverworker import plan_outlook
>>> found = plan_outlook("B U2 F B U B'", "z2 B U R2 D F", colours=["white"])
>>> found.own.left, found.shortest.left, found.longer.left
(5, 0, 0)

Tables and compiled code are kept in ``~/.cache/within-eight``
(``WITHIN_EIGHT_CACHE`` names another folder); deleting it costs time only.
Names are loaded when they are first used: importing this package alone loads
neither numpy nor compiled code. ``tasks`` and ``worker_start`` are the club's
workers: they need its site, and no part of the library needs them.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from solverworker.cube.chance import Stream as Stream
    from solverworker.cube.cross import CrossState as CrossState
    from solverworker.cube.hands import HandCost as HandCost
    from solverworker.cube.notation import NotationError as NotationError
    from solverworker.cube.turns import turn_name as turn_name
    from solverworker.cube.turns import turn_number as turn_number
    from solverworker.notebook import cross_after as cross_after
    from solverworker.notebook import techniques_used as techniques_used
    from solverworker.report import SOLVER_VERSION as SOLVER_VERSION
    from solverworker.report import PlanReport as PlanReport
    from solverworker.review import check_pair as check_pair
    from solverworker.review import check_plan as check_plan
    from solverworker.review import plan_outlook as plan_outlook
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
    "SOLVER_VERSION": "report",
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
    "plan_outlook": "review",
    "quarter_distance": "search.quarters",
    "quarter_distance_table": "search.quarters",
    "shortest_solutions": "search.cross",
    "solve": "review",
    "techniques_used": "notebook",
    "turn_name": "cube.turns",
    "turn_number": "cube.turns",
    "with_pair": "review",
}

__all__ = sorted(["__version__", *_HOMES])  # loaded when asked for


def __getattr__(name: str) -> Any:
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, _, renamed = home.partition(":")
    return getattr(importlib.import_module(f"{__name__}.{module}"), renamed or name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOMES})
