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
from solverworker.cube.holds import EFFECTS, HOLDS, Walk, walk
from solverworker.cube.moments import Moment, normal_form
from solverworker.cube.notation import Kind, Token, canonical, parse
from solverworker.cube.solving import CROSS_HOMES, STILL, Edges, turned_edges
from solverworker.cube.turns import FACES
from solverworker.report import COLOURS, SLIPS, Hint, HintKind

MOST_HINTS: Final = 3

# The likeliest slips first: the wrong way round, two moves in the wrong order, one too many; then
# another face altogether, then one forgotten: at the end, then inside.
_RANKS: Final[dict[HintKind, int]] = {"swap": 1, "drop": 2, "add": 5}
_OTHER_FACE: Final = 3
_AT_END: Final = 4

_FACE_TOKENS: Final = tuple(
    Token(face, "face", quarters, 0, face) for face in FACES for quarters in (1, 3, 2)
)
_ROTATIONS: Final = tuple(
    Token(name, "rotation", quarters, 0, name) for name in "xyz" for quarters in (1, 3, 2)
)


class Slips(NamedTuple):
    """What may have gone wrong: hints for people, and the kinds of slip (of SLIPS, in order)."""

    hints: tuple[Hint, ...] = ()
    kinds: tuple[str, ...] = ()


def slips(tokens: Sequence[Token], before: Walk, colours: Sequence[int]) -> Slips:
    """Return the likeliest causes why a plan leaves every allowed colour unsolved.

    ``before``: the scramble; ``colours``: places in COLOURS. A plan that would
    do as written in another hold gets that hint alone, and that kind. Otherwise
    at most MOST_HINTS edits of a move, of which no two come to the same turns,
    then the mirror image; the kinds are those of all edits that would do. A
    rotation forgotten inside is a kind only where nothing else would do,
    because any move of a wrong layer could be told as one. A move too many has
    no kind.

    >>> from solverworker.cube.holds import walk
    >>> from solverworker.cube.notation import parse
    >>> before = walk(parse("R D"))
    >>> found = slips(parse("D R'"), before, [1])
    >>> [(hint.kind, hint.plan) for hint in found.hints], found.kinds
    ([('change', "D' R'")], ('wrong_direction',))
    """
    if not tokens:
        return Slips()
    search = _Search(tokens, before, colours)
    held = search.held()
    if held is not None:
        return Slips((held,), (_FORGOTTEN,))
    # Edits that come to the same turns say the same: the likeliest tells it.
    told: dict[tuple[Moment, ...], Hint] = {}
    for _, hint in sorted(search.edits(), key=lambda edit: (edit[0], edit[1].token)):
        told.setdefault(search.effect(hint), hint)
    edits = tuple(told.values())
    mirrored = search.mirrored()
    if mirrored is not None and search.effect(mirrored) in told:
        mirrored = None
    kinds = {_kind(hint, len(tokens)) for hint in edits}
    if mirrored is not None:
        kinds.add("mirrored")
    if kinds & set(SLIPS) != {_FORGOTTEN}:
        kinds.discard(_FORGOTTEN)
    # That one move is missing at the end is said already, with the distance left.
    best = tuple([hint for hint in edits if hint.token != len(tokens)][:MOST_HINTS])
    return Slips(
        (*best, mirrored) if mirrored is not None else best,
        tuple([kind for kind in SLIPS if kind in kinds]),
    )


_FORGOTTEN: Final = "forgotten_rotation"


def _kind(hint: Hint, tokens: int) -> str:
    """Return the kind of slip that an edit would mend; nothing for a move too many."""
    if hint.kind == "change":
        same = hint.was.rstrip("2'") == hint.instead.rstrip("2'")
        return "wrong_direction" if same else "wrong_layer"
    if hint.kind == "swap":
        return "moves_swapped"
    if hint.kind == "add":
        if hint.instead[0] in "xyz":
            return _FORGOTTEN
        return "last_move_missing" if hint.token == tokens else "move_missing"
    return ""


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
        for at in range(len(self.tokens) + 1):
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
                            move=1 + sum(token.moves for token in self.tokens[:at]),
                            was=canonical(self.tokens[at:then]),
                            instead=canonical(new),
                            plan=canonical((*self.tokens[:at], *new, *self.tokens[then:])),
                        ),
                    )

    def effect(self, hint: Hint) -> tuple[Moment, ...]:
        """Return what the mended plan comes to: its turns of centres' faces in normal form."""
        return normal_form(walk(parse(hint.plan), self.hold).turns)

    def held(self) -> Hint | None:
        """Return the first other hold from which the plan as written solves an allowed colour."""
        edges = self.stages[0][0]
        for hold in range(len(HOLDS)):
            if hold == self.hold:
                continue
            solved = self._solved(edges, self._goal(0, hold))
            if solved is not None:
                top, _, front = HOLDS[hold][:3]
                return Hint(
                    "held",
                    COLOURS[solved],
                    top=COLOUR_OF_FACE[FACES[top]],
                    front=COLOUR_OF_FACE[FACES[front]],
                )
        return None

    def mirrored(self) -> Hint | None:
        """Return the first mirror image of the plan that solves an allowed colour.

        Left for right first, then front for back, then top for bottom.
        """
        for faces in ("RL", "FB", "UD"):
            image = tuple([_mirror_image(token, faces) for token in self.tokens])
            edges, hold = _follow(*self.stages[0], image)
            solved = self._solved(edges, self._goal(len(self.tokens), hold))
            if solved is not None:
                return Hint("mirrored", COLOURS[solved], plan=canonical(image))
        return None

    def _candidates(self, at: int) -> Iterator[tuple[int, HintKind, tuple[Token, ...], int]]:
        """Give the edits at a place: rank, kind, what is put there, and the token after that."""
        if at < len(self.tokens):
            yield from self._changes(at)
        # Beside a move of the same face an added one only changes that move.
        near = {each.family for each in self.tokens[max(0, at - 1) : at + 1]}
        for other in (*_FACE_TOKENS, *(_ROTATIONS if at < len(self.tokens) else ())):
            if other.family not in near:
                rank = _AT_END if at == len(self.tokens) else _RANKS["add"]
                yield rank, "add", (other,), at

    def _changes(self, at: int) -> Iterator[tuple[int, HintKind, tuple[Token, ...], int]]:
        """Give the edits of a token, as above."""
        token = self.tokens[at]
        for rank, other in _instead_of(token.family, token.kind, token.quarters):
            yield rank, "change", (other,), at + 1
        if at + 1 < len(self.tokens):
            yield _RANKS["swap"], "swap", (self.tokens[at + 1], token), at + 2
        yield _RANKS["drop"], "drop", (), at + 1

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


def _mirror_image(token: Token, faces: str) -> Token:
    """Return a token seen in the mirror that changes two faces for each other.

    >>> str(_mirror_image(Token("R", "face", 1, 0, "R"), "RL"))
    "L'"
    """
    letter, width = token.family[0], token.family[1:]
    if letter in _ABOUT[faces]:
        # What turns about the axis across the mirror turns the same way in it.
        return token
    family = {faces[0]: faces[1], faces[1]: faces[0]}.get(letter, letter) + width
    return Token(family, token.kind, 4 - token.quarters, 0, family)


_ABOUT: Final = {"RL": "Mx", "UD": "Ey", "FB": "Sz"}
"""The slices and rotations about the axis between two faces."""


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
