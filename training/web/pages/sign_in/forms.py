"""Forms for getting in: name and phrase, a code from a card, a new phrase."""

from __future__ import annotations

from django import forms

from training.web.parts.fields import missing, new_phrase, secret_input, text_input


class SignInForm(forms.Form):
    """Name and phrase."""

    sign_in_name = forms.CharField(
        label="Sign-in name",
        max_length=40,
        widget=text_input(autocomplete="username", autocapitalize="none"),
        error_messages=missing("Write your sign-in name."),
    )
    phrase = forms.CharField(
        label="Pass phrase",
        max_length=200,
        strip=False,
        widget=secret_input("current-password"),
        error_messages=missing("Write your pass phrase."),
    )


class CodeForm(forms.Form):
    """Name and the code from a card."""

    sign_in_name = forms.CharField(
        label="Sign-in name",
        max_length=40,
        widget=text_input(autocomplete="username", autocapitalize="none"),
        error_messages=missing("Write your sign-in name. It stands on the card."),
    )
    code = forms.CharField(
        label="One-time code",
        max_length=40,
        help_text="Twelve letters and digits from the card. Hyphens and capitals do not matter.",
        widget=text_input(autocomplete="one-time-code", autocapitalize="characters"),
        error_messages=missing("Write the code from the card."),
    )


class PhraseForm(forms.Form):
    """A new pass phrase."""

    phrase = new_phrase()
