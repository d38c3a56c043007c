"""Each move that lost something: in what way, and what there was instead."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from solverworker.cube.holds import EFFECTS, RELABEL, UNLABEL, Walk
from solverworker.cube.moments import in_normal_form
from solverworker.cube.notation import Token
from solverworker.cube.turns import FACES, write_turns
from solverworker.report import LossKind, LostMove, ShortestSolution
from solverworker.review.blame import in_order
from solverworker.review.nearest import alike, ideas
from solverworker.techniques import mask

_TOP = FACES.index("U")
_BASE = FACES.index("D")


class Joining(NamedTuple):
    """Two turns (places) of one face that the normal form joins, and whether nothing is left."""

    first: int
    second: int
    cancel: bool


def joinings(turns: Sequence[int]) -> list[Joining]:
    """Return the turns that the normal form joins, in the order in which it does.

    >>> joinings([0, 9, 2, 10])  # U D U' D2
    [Joining(first=0, second=2, cancel=True), Joining(first=1, second=3, cancel=False)]
    """
    found: list[Joining] = []
    moments: list[tuple[int, dict[int, tuple[int, int]]]] = []
    for index, turn in enumerate(turns):
        face, quarters = turn // 3, turn % 3 + 1
        if not moments or moments[-1][0] != face % 3:
            moments.append((face % 3, {}))
        sides = moments[-1][1]
        before, already = sides.pop(face, (index, 0))
        quarters = (quarters + already) % 4
        if already:
            found.append(Joining(before, index, quarters == 0))
        if quarters:
            sides[face] = (index, quarters)
        elif not sides:
            moments.pop()
    return found


def lost_moves(
    tokens: Sequence[Token],
    own: Walk,
    losses: Sequence[int],
    codes: Sequence[int],
    hold: int,
    bottom_hold: int,
    colour: str,
) -> tuple[LostMove, ...]:
    """Return what there is to say of each token that lost something, in a solved plan.

    ``own``: the tokens as turns, from ``hold``; ``losses``: of each token;
    ``codes``: of the cross before the plan and after each turn, seen in the
    hold ``bottom_hold``.
    """
    turns = [RELABEL[bottom_hold][turn] for turn in own.turns]
    starts = (0, *own.ends)  # how many turns are done before each token, and at the end
    token_of = [at for at, token in enumerate(tokens) for _ in range(token.moves)]
    joined = [
        (token_of[each.first], token_of[each.second], each.cancel) for each in joinings(turns)
    ]
    found: list[LostMove] = []
    for at, token in enumerate(tokens):
        if losses[at]:
            kind, span = _wasted(at, joined, codes, starts)
            found.append(
                _lost(
                    at,
                    losses[at],
                    kind,
                    span,
                    turns,
                    codes[starts[at]],
                    starts,
                    hold,
                    bottom_hold,
                    colour,
                )
            )
        hold = EFFECTS[token.family, token.quarters][hold].hold
    return tuple(found)


def _wasted(
    at: int,
    joined: Sequence[tuple[int, int, bool]],
    codes: Sequence[int],
    starts: Sequence[int],
) -> tuple[LossKind | None, tuple[int, int] | None]:
    """Return whether and how a move is taken back, made in two, or goes round in a circle."""
    pairs = sorted((pair for pair in joined if at in pair[:2]), key=lambda pair: not pair[2])
    if pairs:
        first, second, cancel = pairs[0]
        return ("taken_back" if cancel else "joined"), (first, second)
    circles = [
        (after - before, (before, after))
        for before in range(at + 1)
        for after in range(at + 1, len(starts))
        if codes[starts[before]] == codes[starts[after]]
    ]
    return ("again", min(circles)[1]) if circles else (None, None)


def _lost(
    at: int,
    loss: int,
    kind: LossKind | None,
    span: tuple[int, int] | None,
    turns: Sequence[int],
    code: int,
    starts: Sequence[int],
    hold: int,
    bottom_hold: int,
    colour: str,
) -> LostMove:
    rest = in_normal_form(turns[starts[at] :])
    used = mask(code, rest)
    ways = alike(code, rest, used)
    best = ways.order[:1]
    row = ways.solutions[best, : ways.length]
    way = row[0].tolist()
    missing = int(ways.masks[best[0]]) & ~used
    base, top, sides = (mine - its for mine, its in zip(_sides(rest), _sides(way), strict=True))
    return LostMove(
        token=at,
        loss=loss,
        kind=kind or ("idea" if missing else "spare"),
        span=span,
        called=in_order(int(np.bitwise_and.reduce(ways.masks))),
        missing=in_order(missing),
        more=(max(base, 0), max(top, 0), max(sides, 0)),
        way=ShortestSolution(
            colour,
            write_turns(RELABEL[hold][UNLABEL[bottom_hold][turn]] for turn in way),
            ideas(code, row, ways.length)[0],
        ),
    )


def _sides(turns: Sequence[int]) -> tuple[int, int, int]:
    """Return how many turns are of the base, of the top, of the sides."""
    base = sum(turn // 3 == _BASE for turn in turns)
    top = sum(turn // 3 == _TOP for turn in turns)
    return base, top, len(turns) - base - top
