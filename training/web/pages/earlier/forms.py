"""Which of all sets are listed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training.selectors.earlier import KINDS
from training.web.saying.times import say_month


def _kinds() -> list[tuple[str, str]]:
    return [("", _("every kind")), *((kind.value, str(kind.label)) for kind in KINDS)]


class EarlierFilter(forms.Form):
    """A month and a kind of set. Sent with GET: an address that can be kept.

    ``months``: those to choose from, by their first days; ``groups``: for coaches, where a club
    has any.
    """

    month = forms.CharField(label=gettext_lazy("Month"), max_length=7, required=False)
    kind = forms.ChoiceField(
        label=gettext_lazy("Kind"),
        choices=_kinds,
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
    )

    def __init__(
        self,
        *args: Any,
        months: Sequence[date] = (),
        groups: Sequence[tuple[int, str]] = (),
        today: date,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        named = [(f"{one:%Y-%m}", say_month(one, today)) for one in months]
        self.fields["month"].widget = forms.Select(attrs={"class": "input"}, choices=named)
        if groups:
            self.fields["group"] = forms.ChoiceField(
                label=_("Group"),
                choices=[("", _("every set")), *groups],
                required=False,
                widget=forms.Select(attrs={"class": "input"}),
            )
