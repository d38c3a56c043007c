"""Which plans a group review looks at."""

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
        choices=[(Drawn.AS_DRAWN, "as drawn"), (Drawn.PICKED, "picked, for a lesson")],
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
    )

    def __init__(self, *args: Any, groups: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = [("", "everybody"), *((name, name) for name in groups)]
        self.fields["group"].widget = forms.Select(attrs={"class": "input"}, choices=names)
