"""A season typed in: from when to when, what feeds it, how many sets count."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import Kind, Season
from training.models.challenges import season_kind_options
from training.web.parts.fields import (
    ChoicesBeside,
    day_errors,
    day_input,
    missing,
    number_errors,
    number_input,
    text_input,
)


class SeasonForm(forms.Form):
    """From when to when, what feeds it, how many sets count."""

    name = forms.CharField(
        label=_("Name"),
        max_length=60,
        widget=text_input(),
        error_messages=missing(_("Write a name, such as “autumn”.")),
    )
    first_day = forms.DateField(
        label=_("First day"), widget=day_input(), error_messages=day_errors(_("Choose the date."))
    )
    last_day = forms.DateField(
        label=_("Last day"), widget=day_input(), error_messages=day_errors(_("Choose the date."))
    )
    kinds = forms.MultipleChoiceField(
        label=_("What feeds it"),
        choices=season_kind_options,
        initial=[Kind.CHALLENGE.value],
        widget=ChoicesBeside,
        error_messages={
            "required": _("Choose at least one kind of set."),
            "invalid_choice": _("Choose the kinds of set from the list."),
        },
    )
    best_sets_counted = forms.IntegerField(
        label=_("Best sets that count"),
        help_text=_("Empty: all of them. It cannot be changed once the season has begun."),
        min_value=1,
        max_value=400,
        required=False,
        widget=number_input(),
        error_messages=number_errors(1, 400),
    )

    def __init__(self, entered: Any, season: Season | None = None, *, begun: bool = False) -> None:
        initial = {name: getattr(season, name) for name in self.base_fields} if season else None
        super().__init__(entered, prefix="season", initial=initial)
        if begun:
            # What it counts is fixed, so nothing else is asked.
            for name in [*self.fields]:
                if name != "name":
                    del self.fields[name]

    def entered(self, season: Season) -> dict[str, Any]:
        """All of a season as the services take it; what is not asked stays as it is."""
        as_it_is = {name: getattr(season, name) for name in self.base_fields}
        return {**as_it_is, **self.cleaned_data}
