"""A solving sequence the long way round, on a cube of numbered stickers.

Written from the definitions anew. A state is four sticker places (as in
:mod:`tests.reference.cross_graph`): an edge is in the base when its bottom
sticker lies on the bottom face; its need is found by searching.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from tests.reference.cross_graph import FACE_TURNS, HOMES, PLACES

AXIS = {"U": 0, "D": 0, "R": 1, "L": 1, "F": 2, "B": 2}
State = tuple[int, ...]

QUARTERS = {"": 1, "2": 2, "'": 3}


@cache
def needs() -> dict[int, int]:
    """Return the least number of face turns that bring each place's sticker to the bottom."""
    far = dict.fromkeys(HOMES, 0)
    for distance in range(1, 5):
        for place in PLACES:
            reached = {turn[place] for turn in FACE_TURNS.values()}
            if place not in far and any(far.get(goal) == distance - 1 for goal in reached):
                far[place] = distance
    return far


def tidied(turns: list[str]) -> list[dict[str, int]]:
    """Return moments as quarter turns by face, joined until nothing changes."""
    moments = [{turn[0]: QUARTERS[turn[1:]]} for turn in turns]
    changed = True
    while changed:
        changed = False
        for index in range(len(moments) - 1):
            one, two = moments[index], moments[index + 1]
            if one and two and AXIS[next(iter(one))] == AXIS[next(iter(two))]:
                joined = {f: (one.get(f, 0) + two.get(f, 0)) % 4 for f in {*one, *two}}
                moments[index : index + 2] = [{f: q for f, q in joined.items() if q}]
                changed = True
                break
        if any(not moment for moment in moments):
            moments = [moment for moment in moments if moment]
            changed = True
    return moments


def moved(state: State, face: str, quarters: int) -> State:
    """Return the state after a turn."""
    turn = FACE_TURNS[face + {1: "", 2: "2", 3: "'"}[quarters]]
    return tuple(turn[place] for place in state)


@dataclass(frozen=True)
class Turned:
    """One turn: in which moment (from 1), of which face, the state before and after it."""

    moment: int
    face: str
    before: State
    after: State


class Sequence:
    """Turns (by name) that solve a state, followed.

    ``turned``: each turn; ``at_end[m]``: the state at the end of moment ``m``;
    ``settle[e]``: the moment from which edge ``e`` is in the base for good.
    """

    def __init__(self, state: State, turns: list[str]) -> None:
        self.turned: list[Turned] = []
        self.at_end = [state]
        for number, moment in enumerate(tidied(turns), start=1):
            for face, quarters in moment.items():
                after = moved(state, face, quarters)
                self.turned.append(Turned(number, face, state, after))
                state = after
            self.at_end.append(state)
        assert state == HOMES
        self.settle = [self._settles(edge) for edge in range(4)]

    def _settles(self, edge: int) -> int:
        return min(
            m for m in range(len(self.at_end)) if all(end[edge] in HOMES for end in self.at_end[m:])
        )

    def off_centre(self, moment: int) -> bool:
        """Whether the settled edges stand elsewhere than home; they share one offset."""
        offsets = {
            (HOMES.index(self.at_end[moment][edge]) - edge) % 4
            for edge in range(4)
            if self.settle[edge] <= moment
        }
        assert len(offsets) == 1
        return offsets != {0}

    def out_and_back(self) -> list[bool]:
        """Return for each time that an edge goes out and comes back: whether room was made."""
        found = []
        for index, out in enumerate(self.turned):
            same = [turn for turn in self.turned[index + 1 :] if turn.face == out.face]
            if out.face in "UD" or not same:
                continue
            back = same[0]
            for edge in range(4):
                if (
                    out.before[edge] in HOMES
                    and out.after[edge] not in HOMES
                    and back.before[edge] not in HOMES
                    and back.after[edge] in HOMES
                ):
                    between = set(range(out.moment + 1, back.moment))
                    others = {self.settle[other] for other in range(4) if other != edge}
                    base_turns = {turn.moment for turn in self.turned if turn.face == "D"}
                    found.append(bool(others & between) and not base_turns & between)
        return found
