"""Whom an invite lets in; who agreed for a child."""

from __future__ import annotations

from django import forms

from training.models import Role
from training.web.parts.fields import missing, text_input


class InviteForm(forms.Form):
    """Whom an invite link lets in."""

    role = forms.ChoiceField(
        label="Who joins by it",
        choices=[(Role.MEMBER, "members"), (Role.COACH, "a coach")],
        widget=forms.Select(attrs={"class": "input"}),
    )
    places = forms.IntegerField(
        label="How many",
        min_value=1,
        max_value=500,
        initial=20,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    days = forms.IntegerField(
        label="For how many days",
        min_value=1,
        max_value=90,
        initial=14,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )


class ConsentForm(forms.Form):
    """Who agreed, and how."""

    note = forms.CharField(
        label="Who agreed, and how",
        max_length=200,
        help_text="For example: mother, signed form of 3 March.",
        widget=text_input(),
        error_messages=missing("Write who agreed and how."),
    )
