"""What a member asks."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import LONGEST_QUESTION
from training.web.parts.fields import missing


class AskForm(forms.Form):
    """A question in a few words."""

    words = forms.CharField(
        label=_("Your question"),
        max_length=LONGEST_QUESTION,
        widget=forms.Textarea(attrs={"class": "input", "rows": 4}),
        error_messages=missing(_("Write a few words.")),
    )
