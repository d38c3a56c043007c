"""How simulated members plan: each by a habit, none at random.

A habit turns a cross state into a sequence of turns. What a habit leaves open
(whether a lesson is remembered today, where a slip falls) is decided by a
stream of numbers that belongs to member and scramble, so that the same demo is
made again on every machine.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from solverworker.cube.cross import SOLVED, CrossState, code, turned
from solverworker.cube.pieces import EDGE_TURNS
from solverworker.cube.turns import axis, face_of, quarters_of
from solverworker.search.cross import distance, shortest_solutions, tables
from solverworker.techniques.registry import TECHNIQUES
from solverworker.techniques.trace import Trace, need

Turns = tuple[int, ...]
Habit = Callable[[CrossState, random.Random], Turns | None]
"""Gives a plan, or None for "I have no plan"."""

TURNS = range(18)
DOWN = 3
MOST_OVER = 4
"""A planner without one idea finds a way at most this many moves longer than the shortest."""


def shortest(state: CrossState, chance: random.Random) -> Turns:
    """The first shortest solution: what the best planners of the club write down."""
    solutions = shortest_solutions(state)
    return solutions[chance.randrange(min(3, len(solutions)))]


def without(technique: str) -> Habit:
    """The shortest way that does not use one idea, as somebody plans who was never shown it."""

    def plan(state: CrossState, chance: random.Random) -> Turns:
        barred = _works_for_two if technique == "shared_turn" else _never
        where = TECHNIQUES[technique].where
        for over in range(MOST_OVER + 1):
            for turns in _ways(state, distance(state) + over, barred):
                if not where(Trace.of(state, turns)):
                    return turns
        return shortest(state, chance)

    return plan


def edge_by_edge(state: CrossState, chance: random.Random) -> Turns:
    """Each edge straight onto its centre, the nearest first, as beginners do."""
    turns: list[int] = []
    home = frozenset(edge for edge in range(4) if state[edge] == SOLVED[edge])
    while len(home) < 4:
        left = [edge for edge in range(4) if edge not in home]
        wanted = min((home | {edge} for edge in left), key=lambda some: _apart(some, state))
        while _apart(wanted, state):
            turn = next(
                t for t in TURNS if _apart(wanted, turned(state, t)) < _apart(wanted, state)
            )
            turns.append(turn)
            state = turned(state, turn)
        home = frozenset(edge for edge in range(4) if state[edge] == SOLVED[edge])
    return tuple(turns)


def with_slips(habit: Habit, *, one_in: int) -> Habit:
    """Another habit with a slip in one plan of ``one_in``.

    A slip is a turn made and taken back, one turn in two parts, or (one slip in
    four) a turn the wrong way round, which leaves the cross unsolved.
    """

    def plan(state: CrossState, chance: random.Random) -> Turns | None:
        turns = habit(state, chance)
        if not turns or chance.randrange(one_in):
            return turns
        at = chance.randrange(len(turns))
        kind = chance.randrange(4)
        return (*turns[:at], *_slipped(turns[at], kind), *turns[at + 1 :])

    return plan


def _slipped(turn: int, kind: int) -> Turns:
    first, quarters = 3 * face_of(turn), quarters_of(turn)
    if kind == 0:
        # The wrong way round; a half turn has no other way and stops half way.
        return (first + 3 - quarters,) if quarters != 2 else (first,)
    if kind == 1:
        # In two parts: a half turn as two quarters, a quarter as a half turn and the other way.
        return (first, first) if quarters == 2 else (first + 1, first + 3 - quarters)
    neighbour = (first + 3) % 18
    return (neighbour, neighbour + 2, turn)


def gives_up_at(habit: Habit, least: int) -> Habit:
    """Another habit that has no plan for crosses of ``least`` moves or more."""

    def plan(state: CrossState, chance: random.Random) -> Turns | None:
        return None if distance(state) >= least else habit(state, chance)

    return plan


@dataclass(frozen=True, slots=True)
class Growth:
    """A habit that gives way to another over the weeks.

    ``old_in_ten``: for each week, in how many plans of ten the old habit still
    holds; the last number stays.
    """

    old: Habit
    new: Habit
    old_in_ten: Sequence[int]

    def plan(self, state: CrossState, week: int, chance: random.Random) -> Turns | None:
        """The plan of that week (0 for the first)."""
        weight = self.old_in_ten[min(week, len(self.old_in_ten) - 1)]
        habit = self.old if chance.randrange(10) < weight else self.new
        return habit(state, chance)


# All ways of a given length ------------------------------------------------------


Barred = Callable[[CrossState, CrossState, int], bool]


def _never(before: CrossState, after: CrossState, turn: int) -> bool:
    return False


def _works_for_two(before: CrossState, after: CrossState, turn: int) -> bool:
    """A shared turn shows in the turn itself, so whole branches can be left out."""
    return face_of(turn) != DOWN and sum(map(_nearer, before, after)) > 1


def _nearer(was: int, now: int) -> bool:
    return need(now) < need(was)


def _ways(state: CrossState, length: int, barred: Barred) -> Iterator[Turns]:
    """Every solving sequence of ``length`` turns that wastes none and makes no barred turn."""
    table = _distances_by_code()
    path: list[int] = []

    def go(here: CrossState, left: int) -> Iterator[Turns]:
        if left == 0:
            yield tuple(path)
            return
        for turn in _FOLLOWING[path[-1]] if path else TURNS:
            there = turned(here, turn)
            if table[code(there)] <= left - 1 and not barred(here, there, turn):
                path.append(turn)
                yield from go(there, left - 1)
                path.pop()

    if distance(state) <= length:
        yield from go(state, length)


def _follows(before: int, turn: int) -> bool:
    """Whether ``turn`` may stand after ``before`` in canonical order."""
    first, second = face_of(before), face_of(turn)
    return axis(first) != axis(second) or first < second


_FOLLOWING = [[turn for turn in TURNS if _follows(before, turn)] for before in TURNS]


@cache
def _distances_by_code() -> bytes:
    """The distance table as bytes, which plain Python reads faster than an array."""
    return tables().distances.tobytes()


# Some edges home -----------------------------------------------------------------


def _apart(edges: frozenset[int], state: CrossState) -> int:
    """Least turns that bring these edges home together, whatever becomes of the others."""
    if len(edges) == 4:
        return distance(state)
    return _partial(edges)[tuple(state[edge] for edge in sorted(edges))]


@cache
def _partial(edges: frozenset[int]) -> dict[tuple[int, ...], int]:
    """Distances of one to three edges, by going outwards from home."""
    home = tuple(SOLVED[edge] for edge in sorted(edges))
    found = {home: 0}
    front = [home]
    while front:
        further = []
        for here in front:
            for turn in TURNS:
                row = EDGE_TURNS[turn]
                there = tuple(row[edge] for edge in here)
                if there not in found:
                    found[there] = found[here] + 1
                    further.append(there)
        front = further
    return found
