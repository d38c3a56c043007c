"""The tongue in which words are said: English unless a translation is handed in.

Texts to translate stand in :mod:`solverworker.words.vocabulary`, in
:mod:`solverworker.causes` and in :mod:`solverworker.cube.refusals`, marked for
the usual tools (``xgettext``, ``makemessages``) by ``_`` and, where a number
decides between two, by ``ngettext``: names that those tools know. This package
knows no framework: a page hands in the functions of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final


def gettext_noop(text: str) -> str:
    """Mark a text for translation and return it as it is."""
    return text


def ngettext_noop(one: str, many: str) -> tuple[str, str]:
    """Mark the two forms of a text that has a number; imported as ``ngettext``."""
    return one, many


NUMBERS: Final = {
    2: gettext_noop("two"),
    3: gettext_noop("three"),
    4: gettext_noop("four"),
    5: gettext_noop("five"),
    6: gettext_noop("six"),
    7: gettext_noop("seven"),
    8: gettext_noop("eight"),
    9: gettext_noop("nine"),
}


def _plural(one: str, many: str, number: int) -> str:
    return one if number == 1 else many


@dataclass(frozen=True, slots=True)
class Tongue:
    """``gettext``: a text in this tongue; ``ngettext``: the right one of two for a number."""

    gettext: Callable[[str], str] = gettext_noop
    ngettext: Callable[[str, str, int], str] = _plural

    def say(self, template: str, **parts: object) -> str:
        """Return a template in this tongue, filled in.

        >>> ENGLISH.say("{edge} comes home", edge="green")
        'green comes home'
        """
        return self.gettext(template).format(**parts)

    def count(self, templates: tuple[str, str], number: int, **parts: object) -> str:
        """Return the template for a number, in this tongue, filled in.

        >>> ENGLISH.count(("one move", "{number} moves"), 2)
        'two moves'
        """
        return self.ngettext(*templates, number).format(number=self.number(number), **parts)

    def number(self, number: int) -> str:
        """Return a number as a sentence has it: in words up to nine."""
        return self.gettext(NUMBERS[number]) if number in NUMBERS else str(number)

    def listed(self, names: Sequence[str], template: str) -> str:
        """Return names in a row; ``template`` joins the last two.

        >>> ENGLISH.listed(["red", "green", "blue"], "{some} and {last}")
        'red, green and blue'
        """
        if len(names) < 2:
            return "".join(names)
        return self.say(template, some=", ".join(names[:-1]), last=names[-1])


ENGLISH: Final = Tongue()


def sentence(text: str) -> str:
    """Return a clause as a sentence: its first letter a capital (a move has one), a full stop.

    >>> sentence("the green edge comes home")
    'The green edge comes home.'
    """
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
