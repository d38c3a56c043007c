"""What of a challenge the coach finds worth a word."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _


class WordsForm(forms.Form):
    """Up to three of the suggestions, each a sentence with its numbers."""

    words = forms.MultipleChoiceField(
        label=_("Worth a word, up to three"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": _("Choose from the list.")},
    )

    def __init__(
        self, entered: Any, *, suggested: Iterable[tuple[str, str]], chosen: Iterable[str]
    ) -> None:
        super().__init__(entered, initial={"words": list(chosen)})
        field = self.fields["words"]
        assert isinstance(field, forms.MultipleChoiceField)
        field.choices = list(suggested)
