"""The form that gives a picked set for a lesson."""

from __future__ import annotations

from datetime import time
from typing import Any, ClassVar

from django import forms

from training.models import Kind
from training.services import lesson_sets


class LessonSetForm(forms.Form):
    """A picked set for a lesson: homework, or for a club night.

    Fields of the other occasion may stay empty; the style sheet hides them where it can.
    """

    scrambles = forms.IntegerField(
        label="Crosses",
        min_value=1,
        max_value=12,
        initial=5,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    shortest = forms.IntegerField(
        label="Moves, from",
        min_value=2,
        max_value=8,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    longest = forms.IntegerField(
        label="Moves, to",
        min_value=2,
        max_value=8,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    occasion = forms.ChoiceField(
        label="Give it as",
        choices=[
            (Kind.HOMEWORK, "homework, open for days"),
            (Kind.CLUB_NIGHT, "a set for a club night, open for minutes"),
        ],
        initial=Kind.HOMEWORK,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose homework or a club night."},
    )
    opens_day = forms.DateField(
        label="Day",
        widget=forms.DateInput(attrs={"class": "input", "type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Choose the day.",
            "invalid": "Write the date as year-month-day, for example 2026-12-24.",
        },
    )
    days = forms.IntegerField(
        label="Days open",
        min_value=1,
        max_value=lesson_sets.MOST_DAYS,
        initial=7,
        required=False,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    begins = forms.TimeField(
        label="Begins at",
        initial=time(18, 30),
        required=False,
        widget=forms.TimeInput(attrs={"class": "input", "type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Write the time as hours and minutes, for example 18:30."},
    )
    minutes = forms.IntegerField(
        label="Minutes open",
        min_value=lesson_sets.LEAST_MINUTES,
        max_value=lesson_sets.MOST_MINUTES,
        initial=90,
        required=False,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )

    OF_OCCASION: ClassVar = {Kind.HOMEWORK: ("days",), Kind.CLUB_NIGHT: ("begins", "minutes")}

    def clean(self) -> dict[str, Any]:
        """Ask for what the occasion needs; what is wrong of the other one does not matter."""
        entry = super().clean() or self.cleaned_data
        occasion = entry.get("occasion")
        for kind, names in self.OF_OCCASION.items():
            for name in names:
                if kind != occasion:
                    self.errors.pop(name, None)
                elif entry.get(name) is None and name not in self.errors:
                    self.add_error(name, "This is needed.")
        return entry

    @property
    def before_occasion(self) -> list[forms.BoundField]:
        """What every set for a lesson has."""
        return [self[name] for name in ("scrambles", "shortest", "longest", "opens_day")]
