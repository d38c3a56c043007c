"""Slips: what may have gone wrong in a plan that does not end solved.

Every edit of one written move is tried: a plan of ``n`` moves has a few
hundred. From where the moves after the edit take each edge home is kept for
each hold, so trying one costs no more than following the move itself. Hints
only: they never change a result.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import Final, NamedTuple

from solverworker.cube.colours import COLOUR_OF_FACE
from solverworker.cube.holds import EFFECTS, HOLDS, Walk
from solverworker.cube.notation import Kind, Token, canonical
from solverworker.cube.solving import CROSS_HOMES, STILL, Edges, turned_edges
from solverworker.cube.turns import FACES
from solverworker.report import COLOURS, Hint, SlipKind

MOST_HINTS: Final = 3

# The likeliest slips first: the wrong way round, two moves in the wrong order, one too many; then
# another face altogether, then one forgotten.
_RANKS: Final[dict[SlipKind, int]] = {"swap": 1, "drop": 2, "add": 4}
_OTHER_FACE: Final = 3

_FACE_TOKENS: Final = tuple(
    Token(face, "face", quarters, 0, face) for face in FACES for quarters in (1, 3, 2)
)
_ROTATIONS: Final = tuple(
    Token(name, "rotation", quarters, 0, name) for name in "xyz" for quarters in (1, 3, 2)
)


def hints(tokens: Sequence[Token], before: Walk, colours: Sequence[int]) -> tuple[Hint, ...]:
    """Return the likeliest causes why a plan leaves every allowed colour unsolved.

    ``before``: the scramble; ``colours``: places in COLOURS. At most
    MOST_HINTS edits, then the hold in which the plan as written would do.

    >>> from solverworker.cube.holds import walk
    >>> from solverworker.cube.notation import parse
    >>> before = walk(parse("R D"))
    >>> [(hint.kind, hint.plan) for hint in hints(parse("D R'"), before, [1])]
    [('change', "D' R'")]
    """
    if not tokens:
        return ()
    search = _Search(tokens, before, colours)
    edits: dict[str, tuple[int, int, Hint]] = {}
    for rank, hint in search.edits():
        edits.setdefault(hint.plan, (rank, hint.token or 0, hint))
    best = sorted(edits.values(), key=lambda edit: edit[:2])[:MOST_HINTS]
    return (*[hint for _, _, hint in best], *search.held())


class _Search:
    def __init__(self, tokens: Sequence[Token], before: Walk, colours: Sequence[int]) -> None:
        self.tokens = tuple(tokens)
        self.hold = before.hold
        # Only the edges of allowed colours are followed; of each colour: their places among them.
        self.homes = tuple(sorted({home for colour in colours for home in CROSS_HOMES[colour]}))
        self.crosses = [
            (colour, [self.homes.index(home) for home in CROSS_HOMES[colour]]) for colour in colours
        ]
        # Where they are, and how the cube is held, before each token and at the end.
        self.stages = [(turned_edges(self.homes, before.turns), before.hold)]
        for token in tokens:
            self.stages.append(_follow(*self.stages[-1], (token,)))
        self._goals: dict[tuple[int, int], Edges] = {}

    def edits(self) -> Iterator[tuple[int, Hint]]:
        """Give each edit that solves an allowed colour, with its rank."""
        for at in range(len(self.tokens)):
            edges, hold = self.stages[at]
            for rank, kind, new, then in self._candidates(at):
                moved, after = _follow(edges, hold, new)
                solved = self._solved(moved, self._goal(then, after))
                if solved is not None:
                    yield (
                        rank,
                        Hint(
                            kind,
                            COLOURS[solved],
                            token=at,
                            was=canonical(self.tokens[at:then]),
                            instead=canonical(new),
                            plan=canonical((*self.tokens[:at], *new, *self.tokens[then:])),
                        ),
                    )

    def held(self) -> Iterator[Hint]:
        """Give the first other hold from which the plan as written solves an allowed colour."""
        edges = self.stages[0][0]
        for hold in range(len(HOLDS)):
            if hold == self.hold:
                continue
            solved = self._solved(edges, self._goal(0, hold))
            if solved is not None:
                top, _, front = HOLDS[hold][:3]
                yield Hint(
                    "held",
                    COLOURS[solved],
                    top=COLOUR_OF_FACE[FACES[top]],
                    front=COLOUR_OF_FACE[FACES[front]],
                )
                return

    def _candidates(self, at: int) -> Iterator[tuple[int, SlipKind, tuple[Token, ...], int]]:
        """Give the edits of a token: rank, kind, what is put there, and the token after that."""
        token = self.tokens[at]
        for rank, other in _instead_of(token.family, token.kind, token.quarters):
            yield rank, "change", (other,), at + 1
        if at + 1 < len(self.tokens):
            yield _RANKS["swap"], "swap", (self.tokens[at + 1], token), at + 2
        yield _RANKS["drop"], "drop", (), at + 1
        # Beside a move of the same face an added one only changes that move.
        near = {each.family for each in self.tokens[max(0, at - 1) : at + 1]}
        for other in (*_FACE_TOKENS, *_ROTATIONS):
            if other.family not in near:
                yield _RANKS["add"], "add", (other,), at

    def _goal(self, at: int, hold: int) -> Edges:
        """Return from where the tokens from a place on, begun in a hold, take each edge home."""
        if at == len(self.tokens):
            return self.homes
        known = self._goals.get((at, hold))
        if known is None:
            token = self.tokens[at]
            effect = _edge_effects(token.family, token.quarters)[hold]
            known = self._goals[at, hold] = tuple(
                [effect.comes_from[edge] for edge in self._goal(at + 1, effect.hold)]
            )
        return known

    def _solved(self, edges: Edges, goal: Edges) -> int | None:
        if len(self.crosses) == 1:
            return self.crosses[0][0] if edges == goal else None
        for colour, places in self.crosses:
            if all(edges[place] == goal[place] for place in places):
                return colour
        return None


class _EdgeEffect(NamedTuple):
    """A token in a hold: where it takes each edge state, whence each comes, the hold after."""

    goes_to: Edges
    comes_from: Edges
    hold: int


@cache
def _edge_effects(family: str, quarters: int) -> tuple[_EdgeEffect, ...]:
    """Return what a token does in each of the 24 holds."""
    effects = []
    for effect in EFFECTS[family, quarters]:
        goes_to = turned_edges(STILL, effect.turns)
        comes_from = tuple(sorted(STILL, key=goes_to.__getitem__))
        effects.append(_EdgeEffect(goes_to, comes_from, effect.hold))
    return tuple(effects)


def _follow(edges: Edges, hold: int, tokens: Sequence[Token]) -> tuple[Edges, int]:
    for token in tokens:
        goes_to, _, hold = _edge_effects(token.family, token.quarters)[hold]
        edges = tuple([goes_to[edge] for edge in edges])
    return edges, hold


@cache
def _instead_of(family: str, kind: Kind, quarters: int) -> tuple[tuple[int, Token], ...]:
    """Return what may have been meant by a token, with its rank."""
    found = [(0, Token(family, kind, other, 0, family)) for other in (1, 3, 2) if other != quarters]
    letter = family[0]
    if kind == "rotation":
        others: Sequence[Token] = _ROTATIONS
    else:
        block = Token(letter + "w", "block", quarters, 0, letter + "w")
        others = (*_FACE_TOKENS, block) if kind == "face" else _FACE_TOKENS
    for other in others:
        if other.family != family:
            same_letter = other.family[0] == letter and other.quarters == quarters
            found.append((0 if same_letter else _OTHER_FACE, other))
    return tuple(found)
