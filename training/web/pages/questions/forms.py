"""A coach's answer, and the correction that it may carry."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import LONGEST_QUESTION, Corrected
from training.web.parts.fields import missing, text_input


class AnswerForm(forms.Form):
    """The answer to one question."""

    answer = forms.CharField(
        label=_("Your answer"),
        max_length=LONGEST_QUESTION,
        widget=forms.Textarea(attrs={"class": "input", "rows": 3}),
        error_messages=missing(_("Write a few words.")),
    )
    correction = forms.ChoiceField(
        label=_("And correct"),
        required=False,
        choices=[
            ("", _("nothing")),
            (Corrected.ROTATION, _("accept with the rotation")),
            (Corrected.PLAN_WITHDRAWN, _("withdraw this plan")),
            (Corrected.TIME_EXCUSED, _("excuse its time")),
            (Corrected.SCRAMBLE_VOID, _("take the scramble out")),
        ],
        widget=forms.Select(attrs={"class": "input"}),
        error_messages={"invalid_choice": _("Choose the correction from the list.")},
    )
    reason = forms.CharField(
        label=_("Why it is corrected"),
        help_text=_("Only with a correction. What counts for nobody is told to all, with this."),
        max_length=200,
        required=False,
        widget=text_input(),
    )
