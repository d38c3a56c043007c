"""A token for a program, and what it may do."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import LEAST, Scope
from training.web.parts.fields import missing, text_input


class TokenForm(forms.Form):
    """What a program is called, and what it may do; the least unless more is chosen."""

    program = forms.CharField(
        label=_("What the program is called"),
        max_length=60,
        widget=text_input(),
        error_messages=missing(_("Write what the program is called, so that you know it again.")),
    )
    scopes = forms.MultipleChoiceField(
        label=_("It may"),
        choices=Scope.choices,
        initial=[one.value for one in LEAST],
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Only what you may do yourself, and only in the clubs that are yours today."),
        error_messages={
            "required": _("Choose at least one thing that the program may do."),
            "invalid_choice": _("Choose from the list."),
        },
    )
