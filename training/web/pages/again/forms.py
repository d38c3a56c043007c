"""What a member writes on from a place in a plan."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from training.entry import MOST_CHARACTERS
from training.web.parts.fields import missing


class WriteOnForm(forms.Form):
    """Moves, one or more."""

    written = forms.CharField(
        label=_("Write on from here"),
        help_text=_("One move, or all that you see. Every way that loses nothing is right."),
        max_length=MOST_CHARACTERS,
        widget=forms.TextInput(
            attrs={
                "class": "input moves",
                "autocomplete": "off",
                "autocapitalize": "none",
                "autocorrect": "off",
                "spellcheck": "false",
                "enterkeyhint": "done",
            }
        ),
        error_messages=missing(_("Write a move.")),
    )
