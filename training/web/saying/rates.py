"""How evidence is said: counts, limits and the three wordings, nothing surer than it is."""

from __future__ import annotations

from fractions import Fraction

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from training.selectors.reviews import RARELY_CALLED, TechniqueLine
from training.statistics import Interval, Tally
from training.yardsticks import Flag, Lean

_FLAGS = {
    Flag.NEEDS_WORK: gettext_lazy("likely needs work"),
    Flag.STRONG: gettext_lazy("strong"),
    Flag.UNKNOWN: gettext_lazy("not enough evidence yet"),
}


_LEANS = {
    Lean.BELOW: gettext_lazy("{unknown}, rather below the target"),
    Lean.ABOVE: gettext_lazy("{unknown}, rather above the target"),
    Lean.EITHER: gettext_lazy("{unknown}, as likely above the target as below"),
}


def flag_words(flag: Flag) -> str:
    """The only three things said of a member and a technique.

    >>> flag_words(Flag.UNKNOWN)
    'not enough evidence yet'
    """
    return str(_FLAGS[flag])


def rarely_words() -> str:
    """For an idea that random crosses hardly ever call for."""
    return _("{unknown}: rarely called for").format(unknown=flag_words(Flag.UNKNOWN))


def line_words(line: TechniqueLine) -> str:
    """One of the three wordings; where evidence is missing, how much more of it."""
    if line.flag != Flag.UNKNOWN:
        return flag_words(line.flag)
    if line.code in RARELY_CALLED:
        return rarely_words()
    if line.more_needed:
        return _("{unknown}: {number} more needed").format(
            unknown=flag_words(Flag.UNKNOWN), number=line.more_needed
        )
    return str(_LEANS[line.lean]).format(unknown=flag_words(Flag.UNKNOWN))


def group_words(line: TechniqueLine, *, own: bool) -> str:
    """What stands beside the target, of the group: a sentence, never a flag; often nothing."""
    if line.learning:
        return (
            _("Your whole group is learning this.") if own else _("The whole group is learning it.")
        )
    return _("The group answers it more often.") if line.group_more_often else ""


def of(part: int, whole: int) -> str:
    """So many of so many.

    >>> of(2, 5)
    '2 of 5'
    """
    return _("{part} of {whole}").format(part=part, whole=whole)


def answered_of_called(tally: Tally) -> str:
    """How often an idea that was called for was answered, as a bare count."""
    return of(tally.answered, tally.called) if tally.called else _("none yet")


def limits(interval: Interval) -> str:
    """The limits of an interval, in hundredths, rounded outwards by no more than a half.

    >>> limits(Interval(0.4, 0.2444, 0.5782))
    'likely 24 to 58 in 100'
    """
    return _("likely {low} to {high} in 100").format(
        low=round(100 * interval.low), high=round(100 * interval.high)
    )


def points(cost: Fraction | float) -> str:
    """Points of the table, to one decimal.

    >>> points(Fraction(5, 2)), points(96)
    ('2.5', '96')
    """
    return share(float(cost))


def points_words(cost: Fraction | float) -> str:
    """The same with its unit.

    >>> points_words(1), points_words(Fraction(5, 2))
    ('1 point', '2.5 points')
    """
    said = points(cost)
    return ngettext("{number} point", "{number} points", 1 if said == "1" else 2).format(
        number=said
    )


def share(lost: float) -> str:
    """Moves of which a part may belong to another cause, to one decimal.

    >>> share(2.0), share(2.4999), share(0.04), share(0)
    ('2', '2.5', 'under 0.1', '0')
    """
    rounded = round(lost, 1)
    if lost and not rounded:
        return _("under {number}").format(number="0.1")
    return f"{rounded:.1f}".removesuffix(".0")


def share_of_moves(lost: float) -> str:
    """The same with its unit.

    >>> share_of_moves(1.0), share_of_moves(2.5)
    ('1 move', '2.5 moves')
    """
    said = share(lost)
    return ngettext("{number} move", "{number} moves", 1 if said == "1" else 2).format(number=said)
