"""A pasted list, and for whom cards are made."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.web.parts.fields import missing

LISTED, NEVER_IN = "list", "never"


class ListForm(forms.Form):
    """A list as it was pasted."""

    text = forms.CharField(
        label=_("The list, a line for each member"),
        max_length=20_000,
        strip=False,
        help_text=_(
            "Name, group, under 18 (yes or no), who agreed for a child and how; parted by tabs, "
            "semicolons or commas, as a spreadsheet copies them. Only the name is needed."
        ),
        widget=forms.Textarea(attrs={"class": "input", "rows": 8, "spellcheck": "false"}),
        error_messages=missing(_("Paste or write the list.")),
    )
    seen = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput())


class CardsForm(forms.Form):
    """For whom cards are made."""

    who = forms.ChoiceField(
        label=_("Cards for whom"),
        widget=forms.Select(attrs={"class": "input"}),
        error_messages=missing(_("Choose for whom.")),
    )
    again = forms.BooleanField(label=_("Also for those who have signed in before"), required=False)

    def __init__(
        self, groups: Iterable[tuple[int, str]], *args: Any, has_list: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["who"].choices = [  # type: ignore[attr-defined]
            *([(LISTED, _("the list that was saved last"))] if has_list else []),
            (NEVER_IN, _("all members")),
            *((str(pk), name) for pk, name in groups),
        ]
