"""Kinds of members: how each plans a cross, and which heading is right for them.

All hold the white cross at the bottom and write ``z2`` first. Whoever slips
does so in every second plan and plans shortest ways otherwise.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from solverworker.causes.residues import SPARE, UNDONE
from solverworker.cube.cross import SOLVED, CrossState, after, code, turned, unrank
from solverworker.cube.pieces import EDGE_TURNS
from solverworker.cube.turns import TURN_NAMES
from solverworker.search.cross import distance, shortest_solutions
from solverworker.search.ways import ways
from solverworker.techniques import mask_of_codes, masks
from training.management.demo.habits import edge_by_edge as by_edge

COMMON = ("relative_build", "base_turn", "shared_turn")
"""The ideas that random crosses call for often enough to be flagged."""

HOLD, DOWN = "z2", 3
MOST_OVER, MOST_LISTED = 4, 400_000
"""A planner without an idea looks at ways this much longer, so many; then takes a shortest."""

MISSED_BY_EQUALS = 0.15
"""How often equals above the target do without each common idea."""

Turns = tuple[int, ...]
Planner = Callable[[int, random.Random], Turns]
Slip = Callable[[Turns, int, random.Random], str]
"""From a shortest way, the cross and chance: the plan as it is written, wrongly."""


def shortest(rank: int, source: random.Random) -> Turns:
    """Any shortest way, each with equal chance."""
    return source.choice(shortest_solutions(unrank(rank)))


def avoiding(*techniques: str) -> Planner:
    """A shortest sequence that uses none of some techniques, any of them with equal chance."""
    bits = mask_of_codes(techniques)

    def plan(rank: int, source: random.Random) -> Turns:
        state = unrank(rank)
        for over in range(MOST_OVER + 1):
            found = ways(code(state), distance(state) + over, MOST_LISTED)
            kept = found[masks(code(state), found) & bits == 0]
            if len(kept):
                return tuple(kept[source.randrange(len(kept))].tolist())
        return shortest(rank, source)

    return plan


def edge_by_edge(rank: int, source: random.Random) -> Turns:
    """Each edge onto its centre by the shortest way, the nearest first; the base may be turned."""
    return by_edge(unrank(rank), source)


def straight_down(rank: int, source: random.Random) -> Turns:
    """Each edge straight onto its centre, the nearest first; then the base stays as it is."""
    state = unrank(rank)
    turns: list[int] = []
    home = frozenset(edge for edge in range(4) if state[edge] == SOLVED[edge])
    while len(home) < 4:
        known = [_homewards(home | {edge}, bool(home)) for edge in range(4) if edge not in home]
        away = min(known, key=lambda one: one[_places(one, state)])
        while away[_places(away, state)]:
            turn = next(
                t
                for t in range(18)
                if (t // 3 != DOWN or not home)
                and away[_places(away, turned(state, t))] < away[_places(away, state)]
            )
            turns.append(turn)
            state = turned(state, turn)
        home = frozenset(edge for edge in range(4) if state[edge] == SOLVED[edge])
    return tuple(turns)


class _Homewards(dict[tuple[int, ...], int]):
    """Least turns that bring some edges home, by where they are."""

    edges: tuple[int, ...]


@cache
def _homewards(edges: frozenset[int], still: bool) -> _Homewards:
    """``still``: no turn of the base is made."""
    found = _Homewards()
    found.edges = tuple(sorted(edges))
    front = [tuple(SOLVED[edge] for edge in found.edges)]
    found[front[0]] = 0
    allowed = [turn for turn in range(18) if turn // 3 != DOWN or not still]
    while front:
        further = []
        for here in front:
            for turn in allowed:
                there = tuple(EDGE_TURNS[turn][edge] for edge in here)
                if there not in found:
                    found[there] = found[here] + 1
                    further.append(there)
        front = further
    return found


def _places(known: _Homewards, state: CrossState) -> tuple[int, ...]:
    return tuple(state[edge] for edge in known.edges)


def sometimes_without(rank: int, source: random.Random) -> Turns:
    """A shortest way without the ideas that do not come to mind today."""
    missed = [idea for idea in COMMON if source.random() < MISSED_BY_EQUALS]
    return avoiding(*missed)(rank, source) if missed else shortest(rank, source)


def text(turns: Turns) -> str:
    """A plan as it is written."""
    return " ".join([HOLD, *(TURN_NAMES[turn] for turn in turns)])


def scramble(rank: int) -> str:
    """A scramble that leaves the white cross in a state, as seen with it at the bottom."""
    back = [turn // 3 * 3 + 2 - turn % 3 for turn in reversed(shortest_solutions(unrank(rank))[0])]
    # Turned about the front, left is right and the top is the bottom.
    return " ".join(TURN_NAMES[turn].translate(_ABOUT_THE_FRONT) for turn in back)


_ABOUT_THE_FRONT = str.maketrans("URDL", "DLUR")


def taken_back(turns: Turns, rank: int, source: random.Random) -> str:
    """Some turn is made and taken back at once."""
    at, turn = source.randrange(len(turns) + 1), source.randrange(18)
    return text((*turns[:at], turn, turn // 3 * 3 + 2 - turn % 3, *turns[at:]))


def random_turn(turns: Turns, rank: int, source: random.Random) -> str:
    """A random turn slips in; from there the shortest way again."""
    done = (*turns[: source.randrange(len(turns) + 1)], source.randrange(18))
    return text((*done, *source.choice(shortest_solutions(after(done, unrank(rank))))))


def wrong_direction(turns: Turns, rank: int, source: random.Random) -> str:
    """One quarter turn the other way round (a cross that half turns solve stays as it is)."""
    quarters = [at for at, turn in enumerate(turns) if turn % 3 != 1]
    if not quarters:
        return text(turns)
    at = source.choice(quarters)
    return text((*turns[:at], turns[at] + 2 - 2 * (turns[at] % 3), *turns[at + 1 :]))


def forgotten_rotation(turns: Turns, rank: int, source: random.Random) -> str:
    """The cube is turned but that is not written."""
    return text(turns).removeprefix(HOLD).strip()


def stops_one_early(turns: Turns, rank: int, source: random.Random) -> str:
    """The last move is not written."""
    return text(turns[:-1])


def mirrored(turns: Turns, rank: int, source: random.Random) -> str:
    """Left for right, and all turns the other way round."""
    faces = str.maketrans("RL", "LR")
    image = [turn // 3 * 3 + 2 - turn % 3 for turn in turns]
    return " ".join([HOLD, *(TURN_NAMES[turn].translate(faces) for turn in image)])


@dataclass(frozen=True, slots=True)
class Kind:
    """How members of a kind plan, and the headings of which one must be named first.

    ``style``: they must be told, besides, that they build edge by edge.
    """

    right: tuple[str | None, ...]
    plan: Planner = shortest
    slip: Slip | None = None
    style: bool = False

    def writes(self, rank: int, source: random.Random) -> str:
        """The plan of one cross, as written."""
        turns = self.plan(rank, source)
        if self.slip is None or not turns or source.random() < 0.5:
            return text(turns)
        return self.slip(turns, rank, source)


CARELESS = (UNDONE.code, *SPARE)
KINDS: dict[str, Kind] = {
    **{f"no {idea.replace('_', ' ')}": Kind((idea,), avoiding(idea)) for idea in COMMON},
    # Both do without relative build and without shared turns, about as dearly;
    # the second keeps the base still besides.
    "edge by edge": Kind(("relative_build", "shared_turn"), edge_by_edge, style=True),
    "edge by edge, still": Kind(COMMON, straight_down, style=True),
    "wrong direction": Kind(("wrong_direction",), slip=wrong_direction),
    "forgotten rotation": Kind(("forgotten_rotation",), slip=forgotten_rotation),
    "stops one early": Kind(("last_move_missing",), slip=stops_one_early),
    "mirrored": Kind(("mirrored",), slip=mirrored),
    "careless: taken back": Kind((UNDONE.code,), slip=taken_back),
    "careless: random turn": Kind(CARELESS, slip=random_turn),
    "equals above target": Kind((None,), sometimes_without),
    "no weakness": Kind((None,)),
}
