"""What is typed to show that an erase is meant."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from training.web.parts.fields import missing, secret_input, text_input


class PhraseTypedForm(forms.Form):
    """One's own pass phrase."""

    phrase = forms.CharField(
        label=_("Your pass phrase, to show that it is you"),
        max_length=200,
        strip=False,
        widget=secret_input("current-password"),
        error_messages=missing(_("Write your pass phrase.")),
    )


class NameTypedForm(forms.Form):
    """The name of whoever is to be erased."""

    typed = forms.CharField(
        label=_("Type the member’s name, to show that it is meant"),
        max_length=60,
        widget=text_input(autocomplete="off"),
        error_messages=missing(_("Type the name.")),
    )
