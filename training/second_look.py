"""Writing on from a place in a plan: which moves lose nothing, and what helps to find one. Pure.

Everything is asked of the atlas, which knows how many moves each cross needs. Any way that
loses nothing is as good as any other.
"""

from __future__ import annotations

from dataclasses import dataclass

from solverworker.atlas import Atlas
from solverworker.cube.colours import CENTRE_OF_COLOUR, COLOUR_OF_FACE
from solverworker.cube.cross import CrossState, after, need, rank, turned
from solverworker.cube.holds import BOTTOMS, EFFECTS, HOLDS, RELABEL, follow_scramble, walk
from solverworker.cube.notation import parse
from solverworker.cube.turns import FACES, TURN_COUNT, TURN_NAMES, face_of
from solverworker.report import LedgerRow

MOST_HINTS = 3
"""Which idea, which edge, which move: asked for one at a time."""


@dataclass(frozen=True, slots=True)
class Tried:
    """Moves written on from a place.

    ``kept``: those at the head that lost nothing; ``refused``: the first that lost something,
    empty for none, and how many it ``lost``; ``left``: moves still needed after ``kept``.
    """

    kept: tuple[str, ...]
    refused: str
    lost: int
    left: int

    @property
    def found(self) -> bool:
        """Whether the cross is solved and nothing was lost."""
        return not self.left and not self.refused


@dataclass(frozen=True, slots=True)
class Helped:
    """What there is to say of a place. ``every``: ideas that every shortest way from there uses;
    ``some``: that one of them uses; ``edges``: the colours that the next move is for, empty
    where it turns the cross's own layer; ``move``: one that loses nothing, as held."""

    every: tuple[str, ...]
    some: tuple[str, ...]
    edges: tuple[str, ...]
    move: str


def try_on(known: Atlas, scramble: str, before: str, written: str, colour: str) -> Tried:
    """Judge moves written on from a place, up to the first that loses something.

    Raises NotationError for what cannot be read.
    """
    state, hold = _stand(scramble, before, colour)
    left = _distance(known, state)
    kept: list[str] = []
    for token in parse(written):
        turns, hold_after = EFFECTS[token.family, token.quarters][hold]
        there = state
        for turn in turns:
            there = turned(there, _relabel(colour)[turn])
        distance = _distance(known, there)
        lost = token.moves + distance - left
        if lost:
            return Tried(tuple(kept), str(token), lost, left)
        kept.append(str(token))
        state, hold, left = there, hold_after, distance
    return Tried(tuple(kept), "", 0, left)


def rows_of(known: Atlas, scramble: str, moves: str, colour: str) -> tuple[LedgerRow, ...]:
    """The ledger of moves after a scramble, towards the cross of a colour.

    Raises NotationError for what cannot be read.
    """
    state, hold = _stand(scramble, "", colour)
    left = _distance(known, state)
    rows: list[LedgerRow] = []
    for token in parse(moves):
        turns, hold = EFFECTS[token.family, token.quarters][hold]
        for turn in turns:
            state = turned(state, _relabel(colour)[turn])
        distance = _distance(known, state)
        rows.append(LedgerRow(str(token), token.moves, distance, token.moves + distance - left))
        left = distance
    return tuple(rows)


def help_at(known: Atlas, scramble: str, so_far: str, colour: str, *, along: str = "") -> Helped:
    """Say what helps at a place from which the cross is not solved.

    ``along``: the next move of a shortest way that is told already, as held, taken if it loses
    nothing; else the easiest on the hands. Raises ValueError where nothing is left to do.
    """
    state, hold = _stand(scramble, so_far, colour)
    entry = known.entry(state)
    relabel, down = _relabel(colour), BOTTOMS[0][CENTRE_OF_COLOUR[colour]].hold
    moves = {
        TURN_NAMES[RELABEL[hold][turn]]: relabel[turn]
        for turn in range(TURN_COUNT)
        if _distance(known, turned(state, relabel[turn])) < entry.distance
    }
    if not moves:
        raise ValueError("The cross is solved here.")
    move = along if along in moves else min(moves, key=_on_the_hands)
    turn = moves[move]
    there = turned(state, turn)
    ring = [COLOUR_OF_FACE[FACES[HOLDS[down][FACES.index(side)]]] for side in "FRBL"]
    moved = [one for one in range(4) if state[one] != there[one]]
    nearer = [one for one in moved if need(there[one]) < need(state[one])] or moved
    of_base = FACES[face_of(turn)] == "D"
    return Helped(
        every=tuple(code for code in known.techniques if code in entry.every),
        some=tuple(code for code in known.techniques if code in entry.some),
        edges=() if of_base else tuple(ring[one] for one in nearer),
        move=move,
    )


def _on_the_hands(move: str) -> tuple[bool, bool, str]:
    return move[0] == "B", move.endswith("2"), move


def _relabel(colour: str) -> tuple[int, ...]:
    return RELABEL[BOTTOMS[0][CENTRE_OF_COLOUR[colour]].hold]


def _stand(scramble: str, moves: str, colour: str) -> tuple[CrossState, int]:
    """The cross of a colour after a scramble and moves, and how the cube is held then."""
    begun = follow_scramble(scramble)
    own = walk(parse(moves), begun.hold)
    relabel = _relabel(colour)
    return after([relabel[turn] for turn in (*begun.turns, *own.turns)]), own.hold


def _distance(known: Atlas, state: CrossState) -> int:
    return int(known.distance[rank(state)])
