"""Series in words: what one is called, and when its sets open and close."""

from __future__ import annotations

from datetime import date, time
from typing import Any

from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training.models import Kind, Series
from training.models.settings import RulesOfSets
from training.rules import SetRules
from training.web.saying.counting import count, listed
from training.web.saying.times import say_date


def kind_in_words(kind: str) -> str:
    """What a set of a kind is called where several kinds stand beside one another."""
    names = {
        Kind.DAILY: _("Daily set"),
        Kind.CLUB_NIGHT: _("Club night"),
        Kind.CHALLENGE: _("Weekly challenge"),
        Kind.HOMEWORK: _("Homework"),
        Kind.PRACTICE: _("Practice"),
    }
    return names[Kind(kind)]


def name_of(series: Series) -> str:
    """Its own name, else what its kind is called."""
    return series.name or kind_in_words(series.kind)


def rule_in_words(series: Series) -> str:
    """What a series does, in a sentence or three."""
    said = [
        _("{days}, {times}: {crosses}.").format(
            days=days_in_words(series),
            times=times_in_words(series),
            crosses=count(series.scrambles, "cross"),
        )
    ]
    said += lengths_in_words(series.lengths)
    said += how_in_words(series.rules_of_sets)
    groups = [one.name for one in series.groups.all()]
    if groups:
        said.append(_("For {groups} only.").format(groups=listed(groups)))
    if series.stopped_on is not None:
        said.append(_("Stopped: no set from {day} on.").format(day=_day(series.stopped_on)))
    return " ".join(said)


def lengths_in_words(lengths: tuple[int, int] | None) -> list[str]:
    """That crosses are picked, and of which lengths; nothing of random ones.

    >>> lengths_in_words((2, 4)), lengths_in_words(None)
    (['Picked, of 2 to 4 moves.'], [])
    """
    if lengths is None:
        return []
    shortest, longest = lengths
    if shortest == longest:
        return [_("Picked, of {moves}.").format(moves=count(shortest, "move"))]
    return [
        _("Picked, of {shortest} to {longest} moves.").format(shortest=shortest, longest=longest)
    ]


def how_in_words(rules: SetRules) -> list[str]:
    """How a set is inspected and held, in the words of the settings.

    >>> from training.models import Club
    >>> how_in_words(Club().rules)[0]
    'Inspection: timed or untimed.'
    """
    return [_rule("timing", rules.timing), _rule("held", rules.held)]


def _rule(name: str, chosen: str) -> str:
    field: Any = RulesOfSets._meta.get_field(name)
    return _("{rule}: {chosen}.").format(
        rule=field.verbose_name, chosen=dict(field.flatchoices)[chosen]
    )


def days_in_words(series: Series) -> str:
    """The weekdays of a series."""
    if len(series.weekdays) == 7:
        return _("Every day")
    if not series.weekdays:
        return _("On no day")
    return listed([str(WEEKDAYS[one]) for one in series.weekdays])


def times_in_words(series: Series) -> str:
    """When its sets open and close."""
    if series.opens == series.closes == time() and not series.days_later:
        return _("the whole day")
    times = {"opens": f"{series.opens:%H:%M}", "closes": f"{series.closes:%H:%M}"}
    if not series.days_later:
        return _("{opens} to {closes}").format(**times)
    later = ngettext("%(number)d day later", "%(number)d days later", series.days_later)
    return _("{opens} to {closes} {later}").format(
        **times, later=later % {"number": series.days_later}
    )


def _day(day: date) -> str:
    return say_date(day, date(day.year, 1, 1))
