"""What a change of settings alters and from which day, in words, before it is saved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Any

from django import forms
from django.utils.choices import flatten_choices
from django.utils.translation import gettext as _

from training import clock
from training.models import Club, Series
from training.selectors.clubs import first_day_of_series, first_day_of_settings
from training.web.saying.counting import listed
from training.web.saying.times import say_date

OF_WEEKS = ("best_sets_counted",)
AT_ONCE = ("technique_target",)


@dataclass(frozen=True, slots=True)
class Altered:
    """What holds from some day on: each setting with what it is now and what it will be."""

    begins: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PreviewShown:
    """What ``parts/preview.html`` needs; ``stays`` says what nothing of it changes."""

    altered: tuple[Altered, ...]
    stays: str


def show_preview(
    row: Club | Series, changes: Mapping[str, Any], fields: Mapping[str, forms.Field], now: datetime
) -> PreviewShown:
    """Lay out what ``changes`` would alter; ``row`` has its settings of today."""
    club = row if isinstance(row, Club) else row.club
    changes = {name: one for name, one in changes.items() if _differs(getattr(row, name), one)}
    of_sets = [one for one in changes if one not in (*OF_WEEKS, *AT_ONCE)]
    groups = (
        (of_sets, _from_set(row, club, changes, now)),
        ([one for one in changes if one in OF_WEEKS], _from_week(club, now)),
        ([one for one in changes if one in AT_ONCE], _("At once:")),
    )
    return PreviewShown(
        altered=tuple(
            Altered(begins, tuple(_line(row, one, changes[one], fields[one]) for one in names))
            for names, begins in groups
            if names
        ),
        stays=_("Whatever has opened stays as it is: a set to its closing, a week to its end."),
    )


def _from_set(row: Club | Series, club: Club, changes: Mapping[str, Any], now: datetime) -> str:
    if isinstance(row, Club):
        day = first_day_of_settings(row, changes, now)
    else:
        day = first_day_of_series(row, changes, now)
    if day is None:
        return _("From the next set on; none is due in the next weeks:")
    return _("From the set of {day}:").format(day=say_date(day, clock.local_date(now, club.zone)))


def _from_week(club: Club, now: datetime) -> str:
    today = clock.local_date(now, club.zone)
    monday = clock.week_of(today) + timedelta(days=7)
    return _("From the week of {day}:").format(day=say_date(monday, today))


def _differs(before: Any, after: Any) -> bool:
    """Whether a value is another one; of several the order says nothing."""
    if isinstance(before, list) and isinstance(after, list | tuple):
        return {str(one) for one in before} != {str(one) for one in after}
    return bool(before != after)


def _line(row: Club | Series, name: str, after: Any, field: forms.Field) -> str:
    return _("{setting}: {after} (so far: {before})").format(
        setting=field.label,
        after=_value(after, field),
        before=_value(getattr(row, name), field),
    )


def _value(value: Any, field: forms.Field) -> str:
    """A value as its form calls it."""
    if isinstance(field, forms.ChoiceField):
        pairs: Any = flatten_choices(field.choices)  # type: ignore[arg-type]
        names = {str(key): str(words) for key, words in pairs}
        chosen = {str(one) for one in (value if isinstance(value, list | tuple) else [value])}
        return listed([words for key, words in names.items() if key in chosen]) or _("none")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, time):
        return f"{value:%H:%M}"
    return _("all") if value is None else str(value) or _("none")
