"""How long an inspection took, in words: with its doubt, and with what is noted beside it."""

from __future__ import annotations

from django.utils.translation import gettext as _

from training.selectors.attempts import InspectionView


def seconds(milliseconds: int) -> str:
    """Seconds with one decimal place.

    >>> seconds(14_240)
    '14.2 s'
    """
    return _("{seconds} s").format(seconds=f"{milliseconds / 1000:.1f}")


def time_words(found: InspectionView | None) -> str:
    """The time alone, as a table has it; empty where it is untimed.

    >>> time_words(InspectionView(14_240, 80, False, False, False, True))
    '14.2 s'
    """
    if found is None or found.milliseconds is None:
        return ""
    return seconds(found.milliseconds)


def doubt_words(found: InspectionView) -> str:
    """How far the time can be wrong: the line's doubt, and what rounding adds, rounded up.

    >>> doubt_words(InspectionView(14_240, 80, False, False, False, True))
    'give or take 0.2 s'
    """
    tenths = -(-(found.give_or_take + 50) // 100)
    return _("give or take {seconds} s").format(seconds=f"{tenths / 10:.1f}")


def marks(found: InspectionView | None) -> tuple[str, ...]:
    """What stands beside a plan: over or late, and a second look."""
    if found is None:
        return ()
    noted = []
    if found.late:
        noted.append(_("late"))
    elif found.over:
        noted.append(_("over"))
    if found.second_look:
        noted.append(_("with a second look"))
    return tuple(noted)


def inspection_words(found: InspectionView | None) -> str:
    """All of it in a line; of a plan without a time, that it is untimed.

    >>> inspection_words(InspectionView(17_900, 80, True, True, False, False))
    '17.9 s, give or take 0.2 s, late'
    >>> inspection_words(None)
    'untimed'
    """
    time = time_words(found)
    told = [time, doubt_words(found)] if found is not None and time else [_("untimed")]
    return ", ".join([*told, *marks(found)])
