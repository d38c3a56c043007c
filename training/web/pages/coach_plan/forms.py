"""Why a plan is corrected."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from training.web.parts.fields import missing, text_input


class ReasonForm(forms.Form):
    """Why a plan is withdrawn, restored, accepted with a rotation, or its time excused."""

    reason = forms.CharField(
        label=_("Why"),
        max_length=200,
        help_text=_("The member reads this."),
        widget=text_input(),
        error_messages=missing(_("Say why, in a few words.")),
    )
