"""Forms for getting in: name and phrase, a code from a card, a new phrase."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.web.parts.fields import missing, new_phrase, secret_input, text_input

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


def _own_name(if_missing: StrOrPromise) -> forms.CharField:
    return forms.CharField(
        label=_("Sign-in name"),
        max_length=40,
        widget=text_input(autocomplete="username", autocapitalize="none"),
        error_messages=missing(if_missing),
    )


class SignInForm(forms.Form):
    """Name and phrase."""

    sign_in_name = _own_name(_("Write your sign-in name."))
    phrase = forms.CharField(
        label=_("Pass phrase"),
        max_length=200,
        strip=False,
        widget=secret_input("current-password"),
        error_messages=missing(_("Write your pass phrase.")),
    )


class CodeForm(forms.Form):
    """Name and the code from a card."""

    sign_in_name = _own_name(_("Write your sign-in name. It stands on the card."))
    code = forms.CharField(
        label=_("One-time code"),
        max_length=40,
        help_text=_("Twelve letters and digits from the card. Hyphens and capitals do not matter."),
        widget=text_input(autocomplete="one-time-code", autocapitalize="characters"),
        error_messages=missing(_("Write the code from the card.")),
    )


class PhraseForm(forms.Form):
    """A new pass phrase, and the old one unless codes stand for it."""

    old_phrase = forms.CharField(
        label=_("Old pass phrase"),
        max_length=200,
        strip=False,
        help_text=_(
            "If you forgot it, a coach of each of your clubs can give you a one-time code."
        ),
        widget=secret_input("current-password"),
        error_messages=missing(_("Write your old pass phrase.")),
    )
    phrase = new_phrase()

    def __init__(self, *args: Any, asks_old: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not asks_old:
            del self.fields["old_phrase"]
