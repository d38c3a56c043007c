"""Forms of the group review and of a lesson."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from training.models import Drawn


class ReviewFilter(forms.Form):
    """Which plans a group review looks at. Sent with GET: an address that can be kept."""

    weeks = forms.ChoiceField(
        label="Weeks",
        choices=[("4", "4 weeks"), ("8", "8 weeks"), ("26", "26 weeks")],
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
    )
    group = forms.CharField(label="Group", max_length=40, required=False)
    drawn = forms.ChoiceField(
        label="Sets",
        choices=[(Drawn.AS_DRAWN, "as drawn"), (Drawn.PICKED, "picked, as homework")],
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
    )

    def __init__(self, *args: Any, groups: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = [("", "everybody"), *((name, name) for name in groups)]
        self.fields["group"].widget = forms.Select(attrs={"class": "input"}, choices=names)


class HomeworkForm(forms.Form):
    """A picked set for a lesson."""

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
    opens_day = forms.DateField(
        label="Open from",
        widget=forms.DateInput(attrs={"class": "input", "type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Choose the day.",
            "invalid": "Write the date as year-month-day, for example 2026-12-24.",
        },
    )
    days = forms.IntegerField(
        label="Days open",
        min_value=1,
        max_value=28,
        initial=7,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
