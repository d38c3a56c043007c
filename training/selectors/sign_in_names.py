"""Sign-in names made from the names that others see."""

from __future__ import annotations

from collections.abc import Iterable

from training import names

MOST_LETTERS = 40


class SignInNames:
    """Makes names that nobody has and that look like nobody's, one after another.

    >>> made = SignInNames(["noor"])
    >>> made.make("Noor"), made.make("Noor B"), made.make("Noor")
    ('noor2', 'noorb', 'noor3')
    """

    def __init__(self, taken: Iterable[str]) -> None:
        self._taken: set[str] = set().union(*(names.looks(one) for one in taken))

    def make(self, display_name: str) -> str:
        """A sign-in name for somebody: small letters, without blanks, a number where needed."""
        plain = "".join(names.tidy(display_name).casefold().split())[: MOST_LETTERS - 4]
        number = 1
        while True:
            name = names.tidy(plain if number == 1 else f"{plain}{number}")
            if not names.looks(name) & self._taken:
                self._taken |= names.looks(name)
                return name
            number += 1
