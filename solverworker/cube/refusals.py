"""Saying what cannot be read: the error, and its sentences for people."""

from __future__ import annotations

from typing import Final, Literal

from solverworker.tongue import ENGLISH, Tongue
from solverworker.tongue import gettext_noop as _

Where = Literal["plan", "scramble", "pair plan"]
ErrorKind = Literal[
    "unknown", "suffix", "stray", "not_in_strict", "bracket", "repeat", "too_long", "empty"
]

_WHERE: Final[dict[Where, str]] = {
    "plan": _("plan"),
    "scramble": _("scramble"),
    "pair plan": _("pair plan"),
}

NOT_A_MOVE: Final = _(
    "`{token}` at character {character} is not a move. "
    "A move is a letter with nothing, `'` or `2` after it."
)
TOO_MANY: Final = _(
    "`{token}` at character {character} is move {number}. "
    "A {where} has at most {limit} moves, rotations included."
)
TOO_LONG: Final = _("This {where} has more than {limit} characters. Leave out what is not a move.")
NOT_IN_STRICT: Final = _(
    "`{token}` at character {character}: {what} not allowed in strict spelling. "
    "Write `R`, `Rw` or `x` with nothing, `'` or `2`, and a space between moves."
)
NEVER_CLOSED: Final = _(
    "`{token}` at character {character} is never closed. "
    "Put `{closer}` after its last move, or leave the bracket out."
)
CLOSES_NOTHING: Final = _(
    "`{token}` at character {character} closes no bracket. Brackets only group moves; leave it out."
)
STANDS_ALONE: Final = _(
    "`{token}` at character {character} stands alone. "
    "It belongs right behind the letter of its move."
)
REPEATS: Final = _(
    "`{token}` at character {character} would repeat what stands in the bracket. "
    "Write the moves out, as often as they are turned."
)
EMPTY_SCRAMBLE: Final = _("The scramble is empty. Write at least one move.")

_LONGEST_QUOTE: Final = 16


class NotationError(ValueError):
    """A text that cannot be read as moves.

    Attributes: ``kind`` (a word for programs), ``token`` (what stands there,
    cut when very long), ``position`` (code points from 0 in the raw text),
    ``message`` (a sentence for people in English, counting from 1) and
    ``where`` (``"plan"`` or ``"scramble"``). :meth:`in_words` says the sentence
    in another tongue.

    >>> from solverworker.cube.notation import parse
    >>> parse("R U Q")
    Traceback (most recent call last):
    ...
    solverworker.cube.refusals.NotationError: `Q` at character 5 is not a move. ...
    """

    def __init__(
        self,
        kind: ErrorKind,
        token: str,
        position: int,
        sentence: str,
        where: Where = "plan",
        *,
        what: str = "",
        **parts: object,
    ) -> None:
        self.kind: ErrorKind = kind
        self.token = token
        self.position = position
        self.where: Where = where
        self._sentence, self._what, self._parts = sentence, what, parts
        self.message = self.in_words(ENGLISH)
        super().__init__(self.message)

    def in_words(self, tongue: Tongue) -> str:
        """Return the sentence in a tongue.

        >>> NotationError("empty", "", 0, EMPTY_SCRAMBLE).in_words(Tongue(gettext=str.upper))
        'THE SCRAMBLE IS EMPTY. WRITE AT LEAST ONE MOVE.'
        """
        return tongue.say(
            self._sentence,
            token=self.token,
            character=self.position + 1,
            where=tongue.gettext(_WHERE[self.where]),
            what=tongue.say(self._what, **self._parts) if self._what else "",
            **self._parts,
        )


def not_a_move(kind: ErrorKind, written: str, position: int, where: Where) -> NotationError:
    """Say that something is no move (kind ``unknown`` or ``suffix``)."""
    return NotationError(kind, quoted(written), position, NOT_A_MOVE, where)


def too_many(written: str, position: int, limit: int, where: Where) -> NotationError:
    """Say that a text has more than ``limit`` tokens; ``written`` is the first too many."""
    return NotationError(
        "too_long", quoted(written), position, TOO_MANY, where, number=limit + 1, limit=limit
    )


def not_in_strict(
    token: str, position: int, where: Where, what: str, ending: str = ""
) -> NotationError:
    """Say that strict spelling refuses something; ``what`` is its name and its verb."""
    return NotationError(
        "not_in_strict", quoted(token), position, NOT_IN_STRICT, where, what=what, ending=ending
    )


def quoted(written: str) -> str:
    """Cut a very long token, so that a message stays a sentence."""
    return written if len(written) <= _LONGEST_QUOTE else written[:_LONGEST_QUOTE] + "…"
