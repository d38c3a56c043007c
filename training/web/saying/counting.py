"""Numbers and names as a sentence has them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext_lazy

_UNITS = {
    "challenge": ngettext_lazy(
        "%(number)d weekly challenge", "%(number)d weekly challenges", "number"
    ),
    "club_night": ngettext_lazy("%(number)d club night", "%(number)d club nights", "number"),
    "coach": ngettext_lazy("%(number)d coach", "%(number)d coaches", "number"),
    "cross": ngettext_lazy("%(number)d cross", "%(number)d crosses", "number"),
    "daily": ngettext_lazy("%(number)d daily set", "%(number)d daily sets", "number"),
    "day": ngettext_lazy("%(number)d day", "%(number)d days", "number"),
    "difference": ngettext_lazy("%(number)d difference", "%(number)d differences", "number"),
    "half turn": ngettext_lazy("%(number)d half turn", "%(number)d half turns", "number"),
    "hint": ngettext_lazy("%(number)d hint", "%(number)d hints", "number"),
    "homework": ngettext_lazy("%(number)d homework", "%(number)d homeworks", "number"),
    "hour": ngettext_lazy("%(number)d hour", "%(number)d hours", "number"),
    "line": ngettext_lazy("%(number)d line", "%(number)d lines", "number"),
    "member": ngettext_lazy("%(number)d member", "%(number)d members", "number"),
    "message": ngettext_lazy("%(number)d message", "%(number)d messages", "number"),
    "minute": ngettext_lazy("%(number)d minute", "%(number)d minutes", "number"),
    "move": ngettext_lazy("%(number)d move", "%(number)d moves", "number"),
    "place": ngettext_lazy("%(number)d place", "%(number)d places", "number"),
    "plan": ngettext_lazy("%(number)d plan", "%(number)d plans", "number"),
    "point": ngettext_lazy("%(number)d point", "%(number)d points", "number"),
    "question": ngettext_lazy("%(number)d question", "%(number)d questions", "number"),
    "second": ngettext_lazy("%(number)d second", "%(number)d seconds", "number"),
    "set": ngettext_lazy("%(number)d set", "%(number)d sets", "number"),
    "solved plan": ngettext_lazy("%(number)d solved plan", "%(number)d solved plans", "number"),
    "time": ngettext_lazy("%(number)d time", "%(number)d times", "number"),
    "turn": ngettext_lazy("%(number)d turn", "%(number)d turns", "number"),
    "week": ngettext_lazy("%(number)d week", "%(number)d weeks", "number"),
}


def count(number: int, unit: str) -> str:
    """A number with its unit, in the reader's tongue. Raises KeyError for a unit not in the list.

    >>> count(1, "move"), count(3, "move"), count(2, "cross")
    ('1 move', '3 moves', '2 crosses')
    """
    return str(_UNITS[unit] % {"number": number})


def listed(names: Sequence[str]) -> str:
    """Names in a row, as a sentence has them.

    >>> listed(["white", "yellow", "green"]), listed(["Noor"])
    ('white, yellow and green', 'Noor')
    """
    return _joined(names, _("{some} and {last}"))


def either(names: Sequence[str]) -> str:
    """Names to choose from.

    >>> either(["white", "yellow", "green"])
    'white, yellow or green'
    """
    return _joined(names, _("{some} or {last}"))


def _joined(names: Sequence[str], template: str) -> str:
    if len(names) < 2:
        return "".join(names)
    return template.format(some=", ".join(names[:-1]), last=names[-1])


def told(message: str) -> SafeString:
    """A message with what stands in backticks set as code, everything else escaped.

    >>> told("`R4` is <no> move")
    '<code>R4</code> is &lt;no&gt; move'
    """
    return mark_safe(re.sub(r"`([^`]+)`", r"<code>\1</code>", escape(message)))  # noqa: S308
