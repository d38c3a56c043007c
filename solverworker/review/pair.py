"""Cross and first pair after a scramble: best over the four slots, and a pair planned ahead.

All texts are written from the hold in which the scramble ends and begin with
the rotation that puts the cross colour on the bottom. A slot is told by the
two colours of its pair beside the cross colour, such as ``green-red``, in the
order of COLOURS.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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
from solverworker.cube.notation import parse
from solverworker.cube.turns import FACES, TURN_NAMES
from solverworker.report import COLOURS
from solverworker.review.six_crosses import codes_of_colours
from solverworker.search import pair as search
from solverworker.search.cross import distance_of_code, solutions_of_code
from solverworker.search.pair import PairTable

SHOWN_PAIR_SOLUTIONS = 200
"""Most shortest cross-and-pair solutions written out for one colour."""


class PairTableMissing(RuntimeError):
    """The table of cross and first pair has yet to be made."""

    def __init__(self) -> None:
        super().__init__("Cross and first pair is still being prepared. Try again in a minute.")


@dataclass(frozen=True, slots=True)
class WithPair:
    """One colour's cross together with its first pair.

    ``best``: least face turns over the four slots; ``slots``: that of each;
    ``solutions``: the shortest ones over the slots that allow ``best``,
    easiest on the hands first, at most SHOWN_PAIR_SOLUTIONS of the ``count``
    there are.
    """

    best: int
    slots: dict[str, int]
    solutions: tuple[str, ...]
    count: int


@dataclass(frozen=True, slots=True)
class BestCross:
    """A shortest cross after which the first pair is nearest.

    ``text``: the cross; ``then``: moves of the pair after it; ``slot``: its slot.
    """

    text: str
    then: int
    slot: str


@dataclass(frozen=True, slots=True)
class PairReport:
    """What the moves written after the cross are worth.

    ``solved``: whether cross and a pair are; ``slot``: which (of several, the
    nearest at the start), None when unsolved. ``moves`` and ``best`` count
    from the scramble on, ``from_cross`` is the best from where the cross
    ended; ``excess`` = ``moves`` - ``best``, None when unsolved. ``best_cross``:
    which shortest cross would have left the best pair.
    """

    solved: bool
    slot: str | None
    moves: int
    best: int
    excess: int | None
    from_cross: int
    best_cross: BestCross


def with_pair(scramble: str, *, colours: Sequence[str] | None = None) -> dict[str, WithPair]:
    """Return the best cross and first pair of each colour (all six unless some are named).

    Raises PairTableMissing while the table has yet to be made, NotationError,
    UnknownColourError, and ValueError when ``colours`` is empty.
    """
    table = _table()
    before = follow_scramble(scramble)
    return {
        COLOURS[colour]: _best_of(table, before, COLOURS[colour])
        for colour in pick_colours(colours)
    }


def check_pair(
    scramble: str, plan: str, pair_plan: str, *, colour: str, strict: bool = False
) -> PairReport:
    """Say what the moves after a cross are worth.

    ``plan``: the cross; ``pair_plan``: what follows it, from the hold in
    which it ends; ``colour``: of the cross; ``strict``: whether both must be
    in the standard's own spelling. Raises PairTableMissing and NotationError.
    """
    table = _table()
    before = follow_scramble(scramble)
    own = walk(parse(plan, strict=strict), before.hold)
    rest = walk(parse(pair_plan, strict=strict, where="pair plan"), own.hold)
    slots = _slots(before.hold, colour)
    start = {name: table.distance(_number(before.turns, hold)) for name, hold in slots.items()}
    middle = [table.distance(_number(before.turns + own.turns, hold)) for hold in slots.values()]
    whole = before.turns + own.turns + rest.turns
    home = search.after([])
    solved = [name for name, hold in slots.items() if _number(whole, hold) == home]
    moves = len(own.turns) + len(rest.turns)
    best = min(start.values())
    return PairReport(
        solved=bool(solved),
        slot=min(solved, key=lambda name: start[name]) if solved else None,
        moves=moves,
        best=best,
        excess=moves - best if solved else None,
        from_cross=min(middle),
        best_cross=_best_cross(table, before, colour),
    )


def _table() -> PairTable:
    table = search.ready()
    if table is None:
        raise PairTableMissing
    return table


def _slots(hold: int, colour: str) -> dict[str, int]:
    """Return, by slot, the hold in which it is front right and the colour at the bottom."""
    down = BOTTOMS[hold][CENTRE_OF_COLOUR[colour]].hold
    slots: dict[str, int] = {}
    for quarters in range(4):
        turned = rotate(down, "y", quarters) if quarters else down
        beside = {COLOUR_OF_FACE[FACES[HOLDS[turned][FACES.index(face)]]] for face in "FR"}
        slots["-".join(name for name in COLOURS if name in beside)] = turned
    return slots


def _number(turns: tuple[int, ...], hold: int) -> int:
    """Return the state that turns of centres' faces make, as seen in a hold."""
    relabel = RELABEL[hold]
    return search.after([relabel[turn] for turn in turns])


def _best_of(table: PairTable, before: Walk, colour: str) -> WithPair:
    slots = _slots(before.hold, colour)
    numbers = {name: _number(before.turns, hold) for name, hold in slots.items()}
    distances = {name: table.distance(number) for name, number in numbers.items()}
    best = min(distances.values())
    bottom = BOTTOMS[before.hold][CENTRE_OF_COLOUR[colour]]
    # A set: some solutions leave two pairs in their slots at once.
    found = {
        tuple(_from(hold, bottom.hold, turns))
        for name, hold in slots.items()
        if distances[name] == best
        for turns in table.solutions(numbers[name])
    }
    told = sorted((HANDS.of(turns), _text(bottom.rotation, turns)) for turns in found)
    texts = tuple(text for _, text in told[:SHOWN_PAIR_SOLUTIONS])
    return WithPair(best, distances, texts, len(found))


def _from(hold: int, to: int, turns: Sequence[int]) -> list[int]:
    """Write turns, told in one hold, in another; sorted again inside each moment."""
    written = [RELABEL[to][UNLABEL[hold][turn]] for turn in turns]
    for index in range(len(written) - 1):
        if written[index] // 3 == written[index + 1] // 3 + 3:
            written[index : index + 2] = written[index + 1], written[index]
    return written


def _text(rotation: str, turns: Sequence[int]) -> str:
    return " ".join([*([rotation] if rotation else []), *[TURN_NAMES[turn] for turn in turns]])


def _best_cross(table: PairTable, before: Walk, colour: str) -> BestCross:
    bottom = BOTTOMS[before.hold][CENTRE_OF_COLOUR[colour]]
    code = int(codes_of_colours(before)[COLOURS.index(colour), 0])
    length = distance_of_code(code)
    slots = _slots(before.hold, colour)
    found: list[tuple[int, int, str, str]] = []
    for row in solutions_of_code(code)[:, :length].tolist():
        turns = before.turns + tuple([UNLABEL[bottom.hold][turn] for turn in row])
        then, slot = min((table.distance(_number(turns, hold)), n) for n, hold in slots.items())
        found.append((then, HANDS.of(row), _text(bottom.rotation, row), slot))
    then, _, text, slot = min(found)
    return BestCross(text, then, slot)
