"""Saying what cannot be read: the error, and its sentences for people."""

from __future__ import annotations

from typing import Final, Literal

Where = Literal["plan", "scramble", "pair plan"]
ErrorKind = Literal["unknown", "suffix", "stray", "not_in_strict", "bracket", "too_long", "empty"]

MOVE_RULE: Final = "A move is a letter with nothing, `'` or `2` after it."

_LONGEST_QUOTE: Final = 16


class NotationError(ValueError):
    """A text that cannot be read as moves.

    Attributes: ``kind`` (a word for programs), ``token`` (what stands there,
    cut when very long), ``position`` (code points from 0 in the raw text),
    ``message`` (a sentence for people, counting from 1) and ``where``
    (``"plan"`` or ``"scramble"``).

    >>> from solverworker.cube.notation import parse
    >>> parse("R U Q")
    Traceback (most recent call last):
    ...
    solverworker.cube.refusals.NotationError: `Q` at character 5 is not a move. ...
    """

    def __init__(
        self, kind: ErrorKind, token: str, position: int, message: str, where: Where = "plan"
    ) -> None:
        super().__init__(message)
        self.kind: ErrorKind = kind
        self.token = token
        self.position = position
        self.message = message
        self.where: Where = where


def not_a_move(kind: ErrorKind, written: str, position: int, where: Where) -> NotationError:
    """Say that something is no move (kind ``unknown`` or ``suffix``)."""
    written = quoted(written)
    return NotationError(
        kind,
        written,
        position,
        f"`{written}` at character {position + 1} is not a move. {MOVE_RULE}",
        where,
    )


def too_many(written: str, position: int, limit: int, where: Where) -> NotationError:
    """Say that a text has more than ``limit`` tokens; ``written`` is the first too many."""
    written = quoted(written)
    return NotationError(
        "too_long",
        written,
        position,
        f"`{written}` at character {position + 1} is move {limit + 1}. "
        f"A {where} has at most {limit} moves, rotations included.",
        where,
    )


def not_in_strict(token: str, position: int, where: Where, what: str) -> NotationError:
    """Say that strict spelling refuses something; ``what`` is its name and its verb."""
    written = quoted(token)
    return NotationError(
        "not_in_strict",
        written,
        position,
        f"`{written}` at character {position + 1}: {what} not allowed in strict spelling. "
        "Write `R`, `Rw` or `x` with nothing, `'` or `2`, and a blank between moves.",
        where,
    )


def quoted(written: str) -> str:
    """Cut a very long token, so that a message stays a sentence."""
    return written if len(written) <= _LONGEST_QUOTE else written[:_LONGEST_QUOTE] + "…"
