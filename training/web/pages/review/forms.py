"""Which plans a group review looks at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training.models import Drawn
from training.web.saying.counting import count

WEEKS_ASKED = (4, 8, 26)


def _weeks() -> list[tuple[str, str]]:
    return [(str(weeks), count(weeks, "week")) for weeks in WEEKS_ASKED]


class ReviewFilter(forms.Form):
    """Which plans a group review looks at. Sent with GET: an address that can be kept."""

    weeks = forms.ChoiceField(
        label=gettext_lazy("Weeks"),
        choices=_weeks,
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
    )
    group = forms.CharField(label=gettext_lazy("Group"), max_length=40, required=False)
    drawn = forms.ChoiceField(
        label=gettext_lazy("Sets"),
        choices=[
            (Drawn.AS_DRAWN, gettext_lazy("random")),
            (Drawn.PICKED, gettext_lazy("picked, for a lesson")),
        ],
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
    )

    def __init__(self, *args: Any, groups: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = [("", _("everybody")), *((name, name) for name in groups)]
        self.fields["group"].widget = forms.Select(attrs={"class": "input"}, choices=names)
