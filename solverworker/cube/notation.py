"""Reading and writing moves.

Source: WCA Regulations, January 1, 2024, articles 12a1 to 12a6 (tokens and
how they are counted), E2c4 and E2c4+ (what a written solution may hold) and
E2d1 (at most 80 moves).

Two spellings. **Strict** is the standard's own: 18 face turns, 36 outer-block
turns (``Rw`` and ``2Rw``) and 9 rotations, with spaces between. **Club**, the
default, also reads what people write: lower-case outer blocks, the slices
``M E S``, ``R2'`` and ``R3``, typographic primes, brackets as grouping only,
``//`` comments and tokens run together.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Final, Literal, NamedTuple

from solverworker.cube.refusals import (
    CLOSES_NOTHING,
    EMPTY_SCRAMBLE,
    NEVER_CLOSED,
    REPEATS,
    STANDS_ALONE,
    TOO_LONG,
    NotationError,
    Where,
    not_a_move,
    not_in_strict,
    quoted,
    too_many,
)
from solverworker.tongue import gettext_noop as _

__all__ = [
    "MAX_SCRAMBLE_TOKENS",
    "MAX_TOKENS",
    "NotationError",
    "Token",
    "all_lower_case",
    "canonical",
    "count_etm",
    "count_moves",
    "parse",
    "parse_scramble",
]

Kind = Literal["face", "block", "slice", "rotation"]

MAX_TOKENS: Final = 80
"""Most written tokens in a plan (E2d1): a rotation counts, a slice counts as one."""

MAX_SCRAMBLE_TOKENS: Final = 200
"""Most written tokens in a scramble: our own limit, so that no input runs away."""

MAX_CHARACTERS: Final = 10_000
"""Most characters that are looked at, comments and blanks included."""

PRIMES: Final = "'’‘′ʼ`´"
"""What stands for a prime; the standard's own is the first."""

MOVES_OF_KIND: Final[dict[Kind, int]] = {"face": 1, "block": 1, "slice": 2, "rotation": 0}
"""What a token of each kind costs (12a5; a slice is two outer turns)."""

_LETTERS_OF_QUARTERS: Final = ("", "", "2", "'")
_QUARTERS_OF_SUFFIX: Final = {"": 1, "2": 2, "'": 3, "2'": 2, "3": 3, "3'": 1}
_STRICT_SUFFIXES: Final = frozenset(("", "2", "'"))

_CLOSERS: Final = {"(": ")", "[": "]"}

_GAP: Final = re.compile(r"(?:\s+|//[^\n\r]*)+")
# A digit behind a letter is always taken as that letter's suffix, so the layer
# count of `2Rw` can only be read where nothing but a gap or a bracket stands before.
_MOVE: Final = re.compile(
    r"\s*((?:2(?=[URFDLB]w))?(?:[URFDLB]w?|[urfdlb](?!w)|[MESxyz](?!w))"
    rf"[0-9{PRIMES}]*)"
)
_REPEAT: Final = re.compile(r"\s*(?:[xX×*^]\s*)?(?!2[URFDLB]w)[0-9]+")
_STRAY: Final = re.compile(rf"[0-9{PRIMES}]+")
_OTHER: Final = re.compile(rf"(?:[a-zA-Z]w?|[^\sa-zA-Z0-9()\[\]{PRIMES}]+)[0-9{PRIMES}]*")


class Token(NamedTuple):
    """One written move.

    ``family``: canonical letters (``R``, ``Rw``, ``M``, ``x``); ``kind``:
    face, block, slice or rotation; ``quarters``: 1, 2 or 3 clockwise quarter
    turns; ``position``: code points from 0 in the text it was read from;
    ``written``: as it stood there. ``str(token)`` is the canonical spelling.
    """

    family: str
    kind: Kind
    quarters: int
    position: int
    written: str

    def __str__(self) -> str:
        return self.family + _LETTERS_OF_QUARTERS[self.quarters]

    @property
    def moves(self) -> int:
        """What the token costs (OBTM, 12a5): rotation 0, turn 1, slice 2."""
        return MOVES_OF_KIND[self.kind]

    @property
    def is_lower_case_block(self) -> bool:
        """Whether an outer block was written as a lower-case letter."""
        return self.kind == "block" and self.written[0].islower()


class _Form(NamedTuple):
    """What a written move is; ``objection``: why strict spelling refuses it, or None."""

    family: str
    kind: Kind
    quarters: int
    objection: str | None
    ending: str


def _families() -> list[tuple[str, str, Kind, str | None]]:
    """List the spellings of families: as written, canonical, kind, strict objection."""
    families: list[tuple[str, str, Kind, str | None]] = []
    for face in "URFDLB":
        families.append((face, face, "face", None))
        families.append((face + "w", face + "w", "block", None))
        families.append((f"2{face}w", face + "w", "block", None))
        families.append((face.lower(), face + "w", "block", _("Lower-case outer blocks are")))
    families += [(name, name, "slice", _("Slices are")) for name in "MES"]
    families += [(name, name, "rotation", None) for name in "xyz"]
    return families


def _forms() -> dict[str, _Form]:
    forms: dict[str, _Form] = {}
    for spelling, family, kind, family_objection in _families():
        for suffix, quarters in _QUARTERS_OF_SUFFIX.items():
            for prime in PRIMES if "'" in suffix else "'":
                objection = family_objection
                if objection is None and suffix not in _STRICT_SUFFIXES:
                    objection = _("The ending `{ending}` is")
                if objection is None and prime != "'":
                    objection = _("Primes other than `'` are")
                written = spelling + suffix.replace("'", prime)
                forms[written] = _Form(family, kind, quarters, objection, suffix)
    return forms


_FORMS: Final = _forms()


def parse(
    text: str, *, strict: bool = False, limit: int = MAX_TOKENS, where: Where = "plan"
) -> tuple[Token, ...]:
    """Read moves from a text.

    ``strict`` admits only the standard's own spelling. ``limit`` is the most
    tokens taken; ``where`` goes into the error. Takes time linear in the
    length of the text and stops at the first thing that cannot be read. What
    was read lately is kept: the rooms that a plan passes each ask for it.

    Raises NotationError.

    >>> [str(token) for token in parse("(r U R3) // first pair")]
    ['Rw', 'U', "R'"]
    >>> parse("x' M2")[1].moves
    2
    """
    return _parsed(text, strict, limit, where)


# A page asks for a plan, a scramble and its shortest solutions. A refusal is never kept: it
# carries the traceback of whoever met it.
@lru_cache(maxsize=256)
def _parsed(text: str, strict: bool, limit: int, where: Where) -> tuple[Token, ...]:
    """Read moves from a text; see :func:`parse`."""
    seen = text[:MAX_CHARACTERS]
    end = len(seen)
    tokens: list[Token] = []
    new = tuple.__new__  # calling Token itself takes twice as long
    open_brackets: list[tuple[str, int]] = []
    position = 0
    parted = True  # whether a gap, a bracket or the start stands before
    while position < end:
        match = _MOVE.match(seen, position)
        if match:
            written, start = match[1], match.start(1)
            form = _FORMS.get(written)
            if form is None:
                raise not_a_move("suffix", written, start, where)
            if strict:
                if form.objection:
                    raise not_in_strict(written, start, where, form.objection, form.ending)
                if not parted and start == position:
                    raise not_in_strict(written, start, where, _("Moves run together are"))
            if len(tokens) == limit:
                raise too_many(written, start, limit, where)
            tokens.append(new(Token, (form.family, form.kind, form.quarters, start, written)))
            position = match.end()
            parted = False
            continue
        parted = True
        gap = _GAP.match(seen, position)
        if gap:
            if strict and (comment := seen.find("//", position, gap.end())) >= 0:
                raise not_in_strict("//", comment, where, _("Comments are"))
            position = gap.end()
        elif seen[position] in "()[]":
            if strict:
                raise not_in_strict(seen[position], position, where, _("Brackets are"))
            _take_bracket(seen[position], position, open_brackets, where)
            if seen[position] in ")]":
                _refuse_repeat(seen, position + 1, where)
            position += 1
        else:
            raise _unreadable(seen, position, where)
    if len(text) > MAX_CHARACTERS:
        raise NotationError(
            "too_long",
            "",
            MAX_CHARACTERS,
            TOO_LONG,
            where,
            limit=f"{MAX_CHARACTERS:,}",
        )
    if open_brackets:
        character, position = open_brackets[-1]
        raise NotationError(
            "bracket",
            character,
            position,
            NEVER_CLOSED,
            where,
            closer=_CLOSERS[character],
        )
    return tuple(tokens)


def parse_scramble(text: str) -> tuple[Token, ...]:
    """Read a scramble: club spelling, at least one token.

    Raises NotationError with ``where`` "scramble"; kind ``empty`` when no
    token stands in it.
    """
    tokens = parse(text, limit=MAX_SCRAMBLE_TOKENS, where="scramble")
    if not tokens:
        raise NotationError("empty", "", 0, EMPTY_SCRAMBLE, "scramble")
    return tokens


def canonical(tokens: Iterable[Token]) -> str:
    """Return the tokens in WCA spelling, one space between; nothing is merged.

    >>> canonical(parse("r2Rw' 2Fw M3"))
    "Rw2 Rw' Fw M'"
    """
    return " ".join(map(str, tokens))


def count_moves(tokens: Iterable[Token]) -> int:
    """Return the length in moves (OBTM, 12a5; a slice 2).

    >>> count_moves(parse("R U' F2")), count_moves(parse("z2 R Rw' D"))
    (3, 3)
    """
    return sum(token.moves for token in tokens)


def count_etm(tokens: Iterable[Token]) -> int:
    """Return the length in written moves (ETM, 12a6): every token is one.

    >>> count_etm(parse("z2 R Rw' D"))
    4
    """
    return sum(1 for _ in tokens)


def all_lower_case(text: str) -> str | None:
    """Return the plan in face turns when every turn is a lower-case letter.

    That is how somebody writes who has no capitals at hand, so it is worth
    asking what was meant. Rotations are lower case anyhow and are kept. None
    when the text is unreadable, has no turn, or has any other.

    >>> all_lower_case("z2 r u r'")
    "z2 R U R'"
    >>> all_lower_case("r U r'") is None
    True
    """
    try:
        tokens = parse(text)
    except NotationError:
        return None
    if not any(token.kind == "block" for token in tokens):
        return None
    if not all(token.kind == "rotation" or token.is_lower_case_block for token in tokens):
        return None
    return canonical(
        token._replace(family=token.family[0], kind="face") if token.kind == "block" else token
        for token in tokens
    )


def _take_bracket(
    character: str, position: int, open_brackets: list[tuple[str, int]], where: Where
) -> None:
    if character in _CLOSERS:
        open_brackets.append((character, position))
        return
    if open_brackets and _CLOSERS[open_brackets[-1][0]] == character:
        open_brackets.pop()
        return
    raise NotationError("bracket", character, position, CLOSES_NOTHING, where)


def _refuse_repeat(text: str, position: int, where: Where) -> None:
    """Raise NotationError for a repeat sign behind a bracket.

    ``(R U)x2`` is one, though ``x2`` is a rotation elsewhere; behind a blank it is one again.
    """
    found = _REPEAT.match(text, position)
    if found is None or (found.group()[0].isspace() and re.fullmatch(r"\s+x2", found.group())):
        return
    token = found.group().strip()
    start = position + len(found.group()) - len(found.group().lstrip())
    raise NotationError("repeat", quoted(token), start, REPEATS, where)


def _unreadable(text: str, position: int, where: Where) -> NotationError:
    stray = _STRAY.match(text, position)
    if stray:
        return NotationError("stray", quoted(stray.group()), position, STANDS_ALONE, where)
    other = _OTHER.match(text, position)
    return not_a_move("unknown", other.group() if other else text[position], position, where)
