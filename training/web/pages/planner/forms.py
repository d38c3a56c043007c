"""What is typed into the planner: a set more, another day or hour, holidays."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training.models import Group, Membership, Series
from training.models.settings import columns_of
from training.rules import SetRules
from training.web.parts.fields import (
    ChoicesBeside,
    day_errors,
    day_input,
    missing,
    text_input,
    time_input,
)
from training.web.parts.rules_of_one import OWN_RULES, rules_entered
from training.web.parts.setting_fields import FormOfSettings

if TYPE_CHECKING:
    SetOfForm = FormOfSettings[Series]
else:
    SetOfForm = FormOfSettings

ASKED = ("kind", "name", "opens", "closes", "days_later", "scrambles", "shortest", "longest")
RULES_ASKED = ("colours", *OWN_RULES)


class SetForm(SetOfForm):
    """A set more on a day; of its own rules those are asked that change most often."""

    groups = forms.ModelMultipleChoiceField(
        label=gettext_lazy("For whom"),
        help_text=gettext_lazy("None chosen: for everybody."),
        queryset=Group.objects.none(),
        required=False,
        widget=ChoicesBeside(),
        error_messages={"invalid_choice": gettext_lazy("Choose the groups from the list.")},
    )

    class Meta:
        model = Series
        fields = (*ASKED, *RULES_ASKED)

    field_order = (*ASKED, *RULES_ASKED)

    def __init__(self, *args: Any, viewer: Membership, **kwargs: Any) -> None:
        groups = Group.objects.of_club(viewer.club).in_use()
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.show_hidden_initial = False
        for name in OWN_RULES:
            self.fields[name].required = False
        if not groups:
            del self.fields["groups"]
        else:
            self.fields["groups"].queryset = groups  # type: ignore[attr-defined]
            self.fields["groups"].widget = ChoicesBeside(
                choices=[(one.pk, one.name) for one in groups]
            )

    def rules_for(self, viewer: Membership) -> SetRules:
        """The rules that the set will have."""
        return replace(
            rules_entered(viewer.club, self.cleaned_data),
            colours=tuple(self.cleaned_data["colours"]),
        )

    def settings_of(self, viewer: Membership) -> dict[str, Any]:
        """As a series has them: by the club's rules, unless others are chosen."""
        entered = {name: self.cleaned_data[name] for name in ASKED}
        rules = self.rules_for(viewer)
        if rules == viewer.club.rules:
            return entered
        return {**entered, **columns_of(rules), "club_rules": False}


class MoveForm(forms.Form):
    """Another day or hour for a set."""

    to_day = forms.DateField(
        label=gettext_lazy("Day"),
        widget=day_input(),
        error_messages=day_errors(gettext_lazy("Choose the day.")),
    )
    opens = forms.TimeField(
        label=gettext_lazy("Opens at"),
        widget=time_input(),
        error_messages={
            "required": gettext_lazy("Write the time as hours and minutes: 18:30."),
            "invalid": gettext_lazy("Write the time as hours and minutes: 18:30."),
        },
    )
    closes = forms.TimeField(
        label=gettext_lazy("Closes at"),
        widget=time_input(),
        error_messages={
            "required": gettext_lazy("Write the time as hours and minutes: 20:00."),
            "invalid": gettext_lazy("Write the time as hours and minutes: 20:00."),
        },
    )


class DayOffReason(forms.Form):
    """Why a day is off."""

    reason = forms.CharField(
        label=gettext_lazy("Why (members see it)"),
        max_length=80,
        required=False,
        widget=text_input(),
    )


class HolidaysForm(DayOffReason):
    """Days off as they were pasted: a date or a range a line."""

    text = forms.CharField(
        label=gettext_lazy("Dates"),
        help_text=gettext_lazy(
            "One a line, as year-month-day: 2026-12-24. A range: 2026-12-21 to 2027-01-03."
        ),
        widget=forms.Textarea(attrs={"class": "input", "rows": 6, "spellcheck": "false"}),
        error_messages=missing(gettext_lazy("Write at least one date.")),
    )

    field_order = ("text", "reason")

    def clean_text(self) -> tuple[date, ...]:
        """The days, in order. Raises ValidationError that names the line."""
        return days_read(self.cleaned_data["text"])


_ISO = r"(\d{4})-(\d{1,2})-(\d{1,2})"
_BRITISH = r"(\d{1,2})[./](\d{1,2})[./](\d{4})"
_A_DATE = re.compile(rf"{_ISO}|{_BRITISH}", re.ASCII)
_BETWEEN = re.compile(r"\s*(to|until|–|—|-|/|\.\.)\s*", re.ASCII | re.IGNORECASE)
LONGEST_TEXT = 4000
LONGEST_RANGE = 100


def days_read(text: str) -> tuple[date, ...]:
    """The days that lines of dates and ranges name, in order, each once.

    A date is read as year-month-day or as day.month.year. Raises ValidationError
    that names the first line that cannot be read.

    >>> [str(one) for one in days_read("2026-12-24\\n26.12.2026 to 27.12.2026")]
    ['2026-12-24', '2026-12-26', '2026-12-27']
    """
    if len(text) > LONGEST_TEXT:
        raise forms.ValidationError(_("That is too long. Paste the holidays of one term."))
    found: set[date] = set()
    for number, line in enumerate(text.splitlines(), start=1):
        if line.strip():
            found.update(_days_of(line.strip(), number))
    return tuple(sorted(found))


def _days_of(line: str, number: int) -> list[date]:
    first = _A_DATE.match(line)
    rest = line[first.end() :] if first else ""
    between = _BETWEEN.match(rest)
    last = _A_DATE.fullmatch(rest[between.end() :].strip()) if between else None
    begin = _date_of(first) if first else None
    end = _date_of(last) if last else begin
    if begin is None or end is None or (rest.strip() and last is None):
        raise forms.ValidationError(
            _("Line {number}, “{line}”, is no date. Write 2026-12-24.").format(
                number=number, line=line[:40]
            )
        )
    length = (end - begin).days
    if not 0 <= length < LONGEST_RANGE:
        raise forms.ValidationError(
            _("Line {number}: a range goes from the earlier day to the later, at most 100.").format(
                number=number
            )
        )
    return [begin + timedelta(days=one) for one in range(length + 1)]


def _date_of(found: re.Match[str]) -> date | None:
    year, month, day, british_day, british_month, british_year = found.groups()
    parts = (year, month, day) if year else (british_year, british_month, british_day)
    try:
        return date(*(int(one) for one in parts))
    except ValueError:
        return None
