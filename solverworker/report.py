"""Frozen types that cross the border between the solver and the club.

Plain data only: text, whole numbers, tuples. Everything here goes to and from
a JSON object without loss, so a report can be stored in a row, sent over the
API and read back by a process that never loads the solver.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

SOLVER_VERSION = 1
"""Version of the rules by which plans are checked; stored with every verdict."""

COLOURS: tuple[str, ...] = ("white", "yellow", "green", "blue", "red", "orange")
"""The six cross colours, in the order in which ties between colours are broken."""

MAX_EXCESS = 8
"""Most moves that one cross can cost in a table: no cross needs more than eight."""

SHOWN_SOLUTIONS = 12
"""Most shortest solutions kept with a verdict (those nearest to the plan)."""


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One written token of a plan and what it did.

    ``token``: as held, WCA spelling (slices stay slices).
    ``moves``: what it costs: 0 a rotation, 1 a face or outer-block turn, 2 a slice.
    ``distance``: face turns still needed after the token, for the judged colour.
    ``loss``: moves lost by the token; the sum over a solved plan is its
    length less the distance at its start.
    """

    token: str
    moves: int
    distance: int
    loss: int


@dataclass(frozen=True, slots=True)
class ShortestSolution:
    """One shortest solution, written from the hold in which the scramble ends.

    ``colour``: the colour that it solves. ``text``: WCA tokens, one blank
    between; begins with the rotation that puts the colour on the bottom.
    """

    colour: str
    text: str


@dataclass(frozen=True, slots=True)
class PlanReport:
    """What a plan is worth.

    ``colour`` is the colour judged: the one solved or, unsolved, the allowed
    one with the least remaining distance. ``distance_start`` is that colour's
    distance before the plan. ``best`` is the smallest distance at the start
    over the allowed colours. ``excess`` = ``moves`` - ``best`` and
    ``colour_choice`` = ``distance_start`` - ``best``; both None when unsolved.
    ``distance_left`` is 0 when solved; ``missing`` is one shortest way to
    finish from where the plan ends (as held there), None when solved;
    ``edges_home`` counts edges of the judged colour that stand home.
    ``shortest`` holds the shortest solutions over the allowed colours whose
    distance is ``best``, nearest to the plan first, at most
    ``SHOWN_SOLUTIONS`` of the ``shortest_count`` there are.
    """

    canonical: str
    solved: bool
    colour: str
    solved_colours: tuple[str, ...]
    moves: int
    best: int
    excess: int | None
    colour_choice: int | None
    distance_start: int
    distance_left: int
    missing: str | None
    edges_home: int
    ledger: tuple[LedgerRow, ...]
    shortest: tuple[ShortestSolution, ...]
    shortest_count: int
    version: int = SOLVER_VERSION

    def to_dict(self) -> dict[str, Any]:
        """Return a JSON-ready dictionary (tuples become lists)."""
        data = asdict(self)
        for name in ("solved_colours", "ledger", "shortest"):
            data[name] = list(data[name])
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> PlanReport:
        """Read back what :meth:`to_dict` gave.

        Raises KeyError or TypeError when a field is missing or unknown.
        """
        fields = dict(data)
        fields["solved_colours"] = tuple(fields["solved_colours"])
        fields["ledger"] = tuple(LedgerRow(**row) for row in fields["ledger"])
        fields["shortest"] = tuple(ShortestSolution(**row) for row in fields["shortest"])
        return cls(**fields)
