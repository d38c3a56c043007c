"""What a drawing of a cross needs, move by move: the centres as held, and the four edges."""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

from solverworker.cube.colours import CENTRE_OF_COLOUR, COLOUR_OF_FACE
from solverworker.cube.holds import EFFECTS, HOLDS, follow_scramble, walk
from solverworker.cube.in_hold import EDGES_IN_HOLD
from solverworker.cube.notation import parse
from solverworker.cube.pieces import EDGE_PLACES, EDGE_TURNS
from solverworker.cube.turns import FACES
from solverworker.report import COLOURS


class Frame(NamedTuple):
    """A cube as it is held at one moment, as far as the cross goes.

    ``centres``: the colours at up, right, front, down, left, back. ``edges``: for each edge of
    :func:`edges_of`, where its sticker of the cross colour is: ``2 * place + lie``, on the
    face ``EDGE_PLACES[place][lie]``; its other sticker is on the place's other face.
    """

    centres: tuple[str, ...]
    edges: tuple[int, ...]

    @property
    def code(self) -> str:
        """Six letters of colours, then a letter from ``a`` to ``x`` for each edge."""
        letters = "".join([colour[0] for colour in self.centres])
        return letters + "".join([chr(97 + edge) for edge in self.edges])


_CENTRES: Final = tuple(tuple(COLOUR_OF_FACE[FACES[centre]] for centre in hold) for hold in HOLDS)


@lru_cache(maxsize=8)
def edges_of(colour: str) -> tuple[str, ...]:
    """Return the other colours of a cross's edges, in the order of ``COLOURS``.

    >>> edges_of("yellow")
    ('green', 'blue', 'red', 'orange')
    """
    face = FACES[CENTRE_OF_COLOUR[colour]]
    beside = {COLOUR_OF_FACE[letter] for name in EDGE_PLACES if face in name for letter in name}
    return tuple(one for one in COLOURS if one in beside and one != colour)


@lru_cache(maxsize=8)
def _homes(colour: str) -> tuple[int, ...]:
    """Where the stickers of a cross are at home, in the order of :func:`edges_of`."""
    face = FACES[CENTRE_OF_COLOUR[colour]]
    sides = [FACES[CENTRE_OF_COLOUR[side]] for side in edges_of(colour)]
    return tuple(
        2 * place + name.index(face)
        for side in sides
        for place, name in enumerate(EDGE_PLACES)
        if set(name) == {face, side}
    )


def frames(scramble: str, plan: str, colour: str, *, after: str = "") -> tuple[Frame, ...]:
    """Return a cube after a scramble (and moves ``after`` it), then after each token of a plan.

    One frame more than the plan has tokens. Raises NotationError for what cannot be read,
    KeyError for a colour that the cube does not have.

    >>> [frame.code for frame in frames("R D", "D' R'", "yellow")]
    ['wrgyobswiq', 'wrgyobquiw', 'wrgyobqusw']
    """
    before = follow_scramble(scramble)
    begun = walk(parse(after), before.hold)
    edges, hold = _homes(colour), begun.hold
    for turn in (*before.turns, *begun.turns):
        edges = _turned(edges, turn)
    found = [_seen(edges, hold)]
    for token in parse(plan):
        turns, hold = EFFECTS[token.family, token.quarters][hold]
        for turn in turns:
            edges = _turned(edges, turn)
        found.append(_seen(edges, hold))
    return tuple(found)


def _turned(edges: tuple[int, ...], turn: int) -> tuple[int, ...]:
    row = EDGE_TURNS[turn]
    return tuple([row[edge] for edge in edges])


def _seen(edges: tuple[int, ...], hold: int) -> Frame:
    row = EDGES_IN_HOLD[hold]
    return Frame(_CENTRES[hold], tuple([row[edge] for edge in edges]))
