"""How a club makes its daily sets; its days off."""

from __future__ import annotations

from django import forms

from solverworker.report import COLOURS
from training.models import Sight, Spelling
from training.web.parts.fields import ChoicesBeside, missing, text_input, zones
from training.web.saying.times import WEEKDAYS


class DayOffForm(forms.Form):
    """A date without a set."""

    day = forms.DateField(
        label="Day without a set",
        widget=forms.DateInput(attrs={"class": "input", "type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Choose the date.",
            "invalid": "Write the date as year-month-day, for example 2026-12-24.",
        },
    )
    reason = forms.CharField(
        label="Why (members see it)", max_length=80, required=False, widget=text_input()
    )


class SettingsForm(forms.Form):
    """How a club's daily sets are made."""

    time_zone = forms.ChoiceField(
        label="Time zone", choices=zones, widget=forms.Select(attrs={"class": "input"})
    )
    weekdays = forms.TypedMultipleChoiceField(
        label="Days with a set",
        coerce=int,
        choices=list(enumerate(WEEKDAYS)),
        required=False,
        widget=ChoicesBeside,
    )
    opens = forms.TimeField(
        label="Opens at",
        widget=forms.TimeInput(attrs={"class": "input", "type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Write the time as hours and minutes: 18:30."},
    )
    closes = forms.TimeField(
        label="Closes at",
        help_text="At or before the opening time: the next day. 00:00 to 00:00 is a whole day.",
        widget=forms.TimeInput(attrs={"class": "input", "type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Write the time as hours and minutes: 20:00."},
    )
    scrambles = forms.IntegerField(
        label="Scrambles a set",
        min_value=1,
        max_value=12,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    colours = forms.MultipleChoiceField(
        label="Cross colours allowed",
        choices=[(colour, colour) for colour in COLOURS],
        widget=ChoicesBeside,
        error_messages=missing("Allow at least one cross colour."),
    )
    spelling = forms.ChoiceField(
        label="How plans are spelled",
        choices=[
            (Spelling.CLUB, "club spelling: also r, M, R3 and moves run together"),
            (Spelling.STRICT, "strict: WCA Article 12 only"),
        ],
        widget=forms.RadioSelect,
    )
    answers_to = forms.ChoiceField(
        label="Best, ledger and shortest solutions open to members",
        choices=Sight.choices,
        widget=forms.Select(attrs={"class": "input"}),
    )
    table_to = forms.ChoiceField(
        label="The table opens to members",
        choices=Sight.choices,
        help_text="Never before the answers: moves over the best give it away.",
        widget=forms.Select(attrs={"class": "input"}),
    )
    best_sets_counted = forms.IntegerField(
        label="Best sets of a week that count",
        required=False,
        min_value=1,
        max_value=14,
        help_text="Empty: all of them.",
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    technique_target = forms.IntegerField(
        label="Target for an idea, in 100",
        min_value=1,
        max_value=99,
        help_text="How often the group should answer an idea that is called for. Below it the "
        "group review says that the group itself lacks the idea.",
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
