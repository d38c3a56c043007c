"""What a plan leaves beyond its cross: frozen types that cross the border, as reports do.

Noted beside a plan, never counted. It is made after the verdict, by rules with
a version of their own: a report never waits for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

OUTLOOK_VERSION = 1
"""Version of the rules by which outlooks are made. By a newer one old outlooks are made anew."""


@dataclass(frozen=True, slots=True)
class PairLeft:
    """A cross and what it leaves for the first pair.

    ``moves``: of the cross, face turns; ``left``: the least face turns from
    where it ends that bring one of the four first pairs in and keep the cross;
    ``slot``: which pair, by its two colours. ``way``: the cross, ``then``: the
    pair after it, both as the plan's member holds the cube (the rotations with
    which the plan begins stand first; ``then`` is written from where ``way``
    ends).
    """

    moves: int
    left: int
    slot: str
    way: str
    then: str


@dataclass(frozen=True, slots=True)
class OnTheHands:
    """A plan among the shortest ways of its colour, by a convention of what hands like.

    ``cost`` and ``least`` as :class:`solverworker.cube.hands.HandCost` counts
    them, all ways held alike: as the plan at its first move. ``ways``: how many
    shortest ways there are; ``easier``: how many of them cost less than the
    plan; ``way``: the easiest.
    """

    cost: int
    least: int
    ways: int
    easier: int
    way: str


@dataclass(frozen=True, slots=True)
class PairAhead:
    """The moves that a member wrote for the first pair, beside what there was.

    ``solved``: cross and a pair are at the end of them; ``slot``: which pair
    (of several, the nearest where the cross ended), empty when unsolved.
    ``moves``: of the pair; ``from_cross``: the least from where the plan ended,
    ``from_cross_way``: one such. ``whole``: moves of plan and pair together;
    ``best``: the least of cross and pair from the scramble on, ``best_way``:
    one such, as ``PairLeft.way`` is written.
    """

    solved: bool
    slot: str
    moves: int
    from_cross: int
    from_cross_way: str
    whole: int
    best: int
    best_way: str


@dataclass(frozen=True, slots=True)
class PlanOutlook:
    """All that is said of a plan beyond its cross.

    ``distances``: the best of each colour's cross, in the order of COLOURS.
    The others are of plans that solve their cross, None where one does not:
    ``own``: the plan itself; ``shortest``: of all shortest ways of its colour
    one that leaves least; ``longer``: the same of all ways one move longer.
    ``hands`` only where the plan is a shortest way of its colour.
    ``pair_ahead``: of plans with which a pair was written.
    """

    distances: tuple[int, ...]
    own: PairLeft | None = None
    shortest: PairLeft | None = None
    longer: PairLeft | None = None
    hands: OnTheHands | None = None
    pair_ahead: PairAhead | None = None
    version: int = OUTLOOK_VERSION

    def to_dict(self) -> dict[str, Any]:
        """Return a JSON-ready dictionary (tuples become lists)."""
        return {**asdict(self), "distances": list(self.distances)}

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> PlanOutlook:
        """Read back what :meth:`to_dict` gave. Raises KeyError or TypeError for anything else."""

        def of(kind: Any, name: str) -> Any:
            return kind(**data[name]) if data[name] else None

        return cls(
            distances=tuple(data["distances"]),
            own=of(PairLeft, "own"),
            shortest=of(PairLeft, "shortest"),
            longer=of(PairLeft, "longer"),
            hands=of(OnTheHands, "hands"),
            pair_ahead=of(PairAhead, "pair_ahead"),
            version=data["version"],
        )
