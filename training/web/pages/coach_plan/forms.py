"""Why a plan is withdrawn."""

from __future__ import annotations

from django import forms

from training.web.parts.fields import missing, text_input


class ReasonForm(forms.Form):
    """Why a plan is withdrawn."""

    reason = forms.CharField(
        label="Why it is withdrawn",
        max_length=200,
        help_text="The member reads this.",
        widget=text_input(),
        error_messages=missing("Say why the plan is withdrawn."),
    )
