"""Slips: what may have gone wrong in a plan that does not end solved.

Every edit of one written move is tried: a plan of ``n`` moves has a few
hundred. What comes after the edit is kept as one map of edges for each hold,
so trying one costs no more than following the move itself. Hints only: they
never change a result.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from solverworker.cube.colours import COLOUR_OF_FACE
from solverworker.cube.holds import HOLDS, STEPS, Walk
from solverworker.cube.notation import Token, canonical
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
        homes = sorted({home for colour in colours for home in CROSS_HOMES[colour]})
        self.crosses = [
            (colour, [(homes.index(home), home) for home in CROSS_HOMES[colour]])
            for colour in colours
        ]
        edges = turned_edges(tuple(homes), before.turns)
        # Where they are, and how the cube is held, before each token and at the end.
        self.stages: list[tuple[Edges, int]] = [(edges, before.hold)]
        for token in tokens:
            self.stages.append(_follow(*self.stages[-1], (token,)))
        self._after: dict[tuple[int, int], Edges] = {}

    def edits(self) -> Iterator[tuple[int, Hint]]:
        """Give each edit that solves an allowed colour, with its rank."""
        for at, token in enumerate(self.tokens):
            for rank, other in _instead_of(token):
                yield from self._tried(rank, "change", at, (other,), at + 1)
            if at + 1 < len(self.tokens):
                swapped = (self.tokens[at + 1], token)
                yield from self._tried(_RANKS["swap"], "swap", at, swapped, at + 2)
            yield from self._tried(_RANKS["drop"], "drop", at, (), at + 1)
            # Beside a move of the same face an added one only changes that move.
            near = {each.family for each in self.tokens[max(0, at - 1) : at + 1]}
            for other in (*_FACE_TOKENS, *_ROTATIONS):
                if other.family in near:
                    continue
                yield from self._tried(_RANKS["add"], "add", at, (other,), at)

    def held(self) -> Iterator[Hint]:
        """Give the first other hold from which the plan as written solves an allowed colour."""
        edges = self.stages[0][0]
        for hold in range(len(HOLDS)):
            if hold == self.hold:
                continue
            solved = self._solved([self._rest(0, hold)[edge] for edge in edges])
            if solved is not None:
                top, _, front = HOLDS[hold][:3]
                yield Hint(
                    "held",
                    COLOURS[solved],
                    top=COLOUR_OF_FACE[FACES[top]],
                    front=COLOUR_OF_FACE[FACES[front]],
                )
                return

    def _tried(
        self, rank: int, kind: SlipKind, at: int, new: tuple[Token, ...], then: int
    ) -> Iterator[tuple[int, Hint]]:
        edges, hold = _follow(*self.stages[at], new)
        rest = self._rest(then, hold)
        solved = self._solved([rest[edge] for edge in edges])
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

    def _rest(self, at: int, hold: int) -> Edges:
        """Return where the tokens from a place on, begun in a hold, take each edge state."""
        if at == len(self.tokens):
            return STILL
        known = self._after.get((at, hold))
        if known is None:
            edges, after = _follow(STILL, hold, self.tokens[at : at + 1])
            rest = self._rest(at + 1, after)
            known = self._after[at, hold] = tuple([rest[edge] for edge in edges])
        return known

    def _solved(self, edges: Sequence[int]) -> int | None:
        for colour, cross in self.crosses:
            if all(edges[place] == home for place, home in cross):
                return colour
        return None


def _follow(edges: Edges, hold: int, tokens: Sequence[Token]) -> tuple[Edges, int]:
    for token in tokens:
        step = STEPS[token.family, token.quarters][hold]
        edges = turned_edges(edges, step.turns)
        hold = step.hold
    return edges, hold


def _instead_of(token: Token) -> Iterator[tuple[int, Token]]:
    """Give what may have been meant, with its rank."""
    for quarters in (1, 3, 2):
        if quarters != token.quarters:
            yield 0, token._replace(quarters=quarters)
    letter = token.family[0]
    if token.kind == "rotation":
        others: Sequence[Token] = _ROTATIONS
    else:
        block = Token(letter + "w", "block", token.quarters, 0, letter + "w")
        others = (*_FACE_TOKENS, block) if token.kind == "face" else _FACE_TOKENS
    for other in others:
        if other.family != token.family:
            same_letter = other.family[0] == letter and other.quarters == token.quarters
            yield (0 if same_letter else _OTHER_FACE), other
