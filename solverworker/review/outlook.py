"""What a plan leaves: the first pair, the hands, the other colours, a pair planned ahead.

* **pair left**: the least face turns from where the plan ends that bring one of
  the four first pairs in and keep the cross; beside it the least over all
  shortest crosses of the plan's colour and over all crosses one move longer.
* **free quality**: what the plan costs the hands, less the least among the
  equally short ways. Only a plan that is a shortest way of its colour has
  equals that can all be looked at.
* **colours**: the best of all six, of which a club's pages make what one colour
  more would have saved.

Everything is exact: all ways of a length are looked at, none is sampled.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from solverworker.cube.colours import CENTRE_OF_COLOUR, COLOUR_OF_FACE, pick_colours
from solverworker.cube.hands import HANDS
from solverworker.cube.holds import (
    BOTTOMS,
    HOLDS,
    RELABEL,
    UNLABEL,
    Walk,
    follow_scramble,
    rotate,
    walk,
)
from solverworker.cube.notation import Token, parse
from solverworker.cube.turns import FACES, write_turns
from solverworker.outlook import OnTheHands, PairAhead, PairLeft, PlanOutlook
from solverworker.report import COLOURS
from solverworker.review.six_crosses import codes_of_colours
from solverworker.search import pair as pair_search
from solverworker.search.cross import tables
from solverworker.search.hands import hand_costs
from solverworker.search.pair import PairTable
from solverworker.search.pair_left import QUARTERS, SLOTS, Pairs, left_after, pairs_after
from solverworker.search.ways import MOST_WAYS, ways

Ways = npt.NDArray[np.uint8]
"""Ways to a cross, seen with its colour at the bottom: uint8, count × length."""


class _Seen(NamedTuple):
    """A scramble and a plan as seen with one colour at the bottom, as its solutions have it.

    ``hold``: that hold; ``own_hold``: the one in which the plan makes its first
    move; ``rotations``: as written before it; ``end_hold``: in which it ends.
    ``before`` and ``own``: turns of centres' faces. ``code``: of the cross before the plan.
    """

    hold: int
    own_hold: int
    rotations: tuple[str, ...]
    end_hold: int
    before: tuple[int, ...]
    own: tuple[int, ...]
    code: int

    def seen(self, turns: Sequence[int]) -> list[int]:
        """Write turns of centres' faces as they are seen."""
        relabel = RELABEL[self.hold]
        return [relabel[turn] for turn in turns]

    def held(self, ways: Ways) -> Ways:
        """Write ways as the member would, in the hold of the first move."""
        return _as_held(self.hold, self.own_hold)[ways]


def plan_outlook(
    scramble: str,
    plan: str,
    *,
    colours: Sequence[str] | None = None,
    pair_ahead: str = "",
    strict: bool = False,
) -> PlanOutlook:
    """Say what a plan leaves beyond its cross.

    Arguments as of :func:`~solverworker.review.check_plan`, by which the colour
    is chosen that the plan is judged for; ``pair_ahead``: the moves for a first
    pair, from the hold in which the plan ends (nothing for none). The table of
    cross and first pair is made first if there is none. Raises NotationError
    (its ``where`` tells in which text), UnknownColourError, and ValueError when
    ``colours`` is empty.

    >>> found = plan_outlook("R D", "D' R'", colours=["yellow"])
    >>> found.own.left, found.shortest.left, found.longer.left
    (0, 0, 0)
    """
    table = pair_search.table()
    allowed = pick_colours(colours)
    before = follow_scramble(scramble)
    tokens = parse(plan, strict=strict)
    own = walk(tokens, before.hold)
    codes = codes_of_colours(before, own.turns)[:, [0, -1]]
    far = tables().distances[codes]
    # As the check of plans judges: nearest at the end, then at the start, then in order.
    judged = min(allowed, key=lambda one: (far[one, 1], far[one, 0], one))
    seen = _seen(before, tokens, own, judged, int(codes[judged, 0]))
    distances = tuple(far[:, 0].tolist())
    solved, start = not far[judged, 1], distances[judged]
    pairs = pairs_after(seen.seen(before.turns))
    shortest = every_way(seen.code, start) if solved else None
    rest = parse(pair_ahead, strict=strict, where="pair plan")
    return PlanOutlook(
        distances=distances,
        own=_own_left(table, seen, tokens) if solved else None,
        shortest=_least_left(table, seen, pairs, shortest) if shortest is not None else None,
        longer=_least_left(table, seen, pairs, every_way(seen.code, start + 1)) if solved else None,
        hands=_on_the_hands(seen, shortest)
        if shortest is not None and len(own.turns) == start
        else None,
        pair_ahead=_pair_ahead(table, seen, rest) if pair_ahead.strip() else None,
    )


def every_way(code: int, length: int) -> Ways:
    """Return all ways of a length to solve the cross with a code."""
    most = MOST_WAYS
    while len(found := ways(code, length, most)) == most:
        most *= 4
    return found


def _seen(before: Walk, tokens: Sequence[Token], own: Walk, colour: int, code: int) -> _Seen:
    rotations = list(takewhile(lambda token: not token.moves, tokens))
    return _Seen(
        hold=BOTTOMS[before.hold][CENTRE_OF_COLOUR[COLOURS[colour]]].hold,
        own_hold=walk(rotations, before.hold).hold,
        rotations=tuple(str(token) for token in rotations),
        end_hold=own.hold,
        before=before.turns,
        own=own.turns,
        code=code,
    )


# What is left for the pair --------------------------------------------------------


def _own_left(table: PairTable, seen: _Seen, tokens: Sequence[Token]) -> PairLeft:
    after = (*seen.before, *seen.own)
    left, slot = _left_here(table, seen, after)
    return PairLeft(
        moves=len(seen.own),
        left=left,
        slot=_slot_name(seen.hold, slot),
        way=" ".join(str(token) for token in tokens),
        then=_pair_from(table, seen, after, slot, seen.end_hold),
    )


def _left_here(table: PairTable, seen: _Seen, turns: Sequence[int]) -> tuple[int, int]:
    """What is left after turns of centres' faces that leave the cross solved, and in which slot."""
    left, slots = left_after(table, pairs_after(seen.seen(turns)), np.empty((1, 0), np.uint8))
    return int(left[0]), int(slots[0])


def _least_left(table: PairTable, seen: _Seen, pairs: Pairs, found: Ways) -> PairLeft:
    """Of ways of one length the one that leaves least; of several the easiest on the hands."""
    left, slots = left_after(table, pairs, found)
    least = np.flatnonzero(left == left.min())
    held = seen.held(found[least])
    easiest = int(np.argmin(hand_costs(held, found.shape[1])))
    row = found[least[easiest]].tolist()
    after = (*seen.before, *[UNLABEL[seen.hold][turn] for turn in row])
    slot = int(slots[least[easiest]])
    return PairLeft(
        moves=len(row),
        left=int(left.min()),
        slot=_slot_name(seen.hold, slot),
        way=_text(seen, held[easiest].tolist()),
        then=_pair_from(table, seen, after, slot, seen.own_hold),
    )


def _pair_from(table: PairTable, seen: _Seen, turns: Sequence[int], slot: int, hold: int) -> str:
    """Return the easiest of the shortest ways to a slot's pair, written in a hold."""
    return write_turns(_shortest_pair(table, seen, turns, slot, hold)[1])


def _shortest_pair(
    table: PairTable, seen: _Seen, turns: Sequence[int], slot: int, hold: int
) -> tuple[int, list[int]]:
    """The same as turns written in that hold, with their cost on the hands."""
    quarters = QUARTERS[slot]
    number = pair_search.after([quarters[turn] for turn in seen.seen(turns)])
    back = [quarters.index(turn) for turn in range(18)]
    as_held = _as_held(seen.hold, hold)
    found = [
        [int(as_held[back[turn]]) for turn in solution] for solution in table.solutions(number)
    ]
    return min((HANDS.of(one), one) for one in found)


# The hands ------------------------------------------------------------------------


def _on_the_hands(seen: _Seen, shortest: Ways) -> OnTheHands:
    held = seen.held(shortest)
    costs = hand_costs(held, shortest.shape[1])
    cost = HANDS.of(RELABEL[seen.own_hold][turn] for turn in seen.own)
    easiest = int(np.argmin(costs))
    return OnTheHands(
        cost=cost,
        least=int(costs[easiest]),
        ways=len(shortest),
        easier=int(np.count_nonzero(costs < cost)),
        way=_text(seen, held[easiest].tolist()),
    )


# A pair planned ahead -------------------------------------------------------------


def _pair_ahead(table: PairTable, seen: _Seen, rest: Sequence[Token]) -> PairAhead:
    middle = (*seen.before, *seen.own)
    then = walk(rest, seen.end_hold).turns
    home = pair_search.after([])
    there = [_number(seen, middle, slot) for slot in range(SLOTS)]
    from_cross = [table.distance(number) for number in there]
    whole = (*middle, *then)
    solved = [slot for slot in range(SLOTS) if _number(seen, whole, slot) == home]
    start = [table.distance(_number(seen, seen.before, slot)) for slot in range(SLOTS)]
    return PairAhead(
        solved=bool(solved),
        slot=_slot_name(seen.hold, min(solved, key=from_cross.__getitem__)) if solved else "",
        moves=len(then),
        from_cross=min(from_cross),
        from_cross_way=_easiest_pair(table, seen, middle, from_cross, seen.end_hold),
        whole=len(seen.own) + len(then),
        best=min(start),
        best_way=" ".join(
            filter(
                None,
                [
                    *seen.rotations,
                    _easiest_pair(table, seen, seen.before, start, seen.own_hold),
                ],
            )
        ),
    )


def _easiest_pair(
    table: PairTable, seen: _Seen, turns: Sequence[int], far: Sequence[int], hold: int
) -> str:
    """The easiest on the hands of all shortest ways to any of the nearest slots."""
    nearest = [slot for slot in range(SLOTS) if far[slot] == min(far)]
    return write_turns(min(_shortest_pair(table, seen, turns, slot, hold) for slot in nearest)[1])


def _number(seen: _Seen, turns: Sequence[int], slot: int) -> int:
    """The state of cross and pair after turns, with a slot seen front right."""
    quarters = QUARTERS[slot]
    return pair_search.after([quarters[turn] for turn in seen.seen(turns)])


# Writing --------------------------------------------------------------------------


def _as_held(hold: int, to: int) -> npt.NDArray[np.uint8]:
    """For each turn as written in a hold: the same turn as written in another."""
    return np.array([RELABEL[to][UNLABEL[hold][turn]] for turn in range(18)], dtype=np.uint8)


def _text(seen: _Seen, held: Sequence[int]) -> str:
    """A way as the member would write it, moments in the order of the notation."""
    turns = list(held)
    for index in range(len(turns) - 1):
        if turns[index] // 3 == turns[index + 1] // 3 + 3:
            turns[index : index + 2] = turns[index + 1], turns[index]
    return " ".join(filter(None, [*seen.rotations, write_turns(turns)]))


def _slot_name(hold: int, slot: int) -> str:
    """The two colours beside the cross's, in the order of COLOURS, such as ``green-red``."""
    turned = rotate(hold, "y", slot) if slot else hold
    beside = {COLOUR_OF_FACE[FACES[HOLDS[turned][FACES.index(face)]]] for face in "FR"}
    return "-".join(name for name in COLOURS if name in beside)
