"""An address that is to be told, and of what."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import Event
from training.web.parts.fields import missing, text_input


class HookForm(forms.Form):
    """Where a web hook leads and what it is told of."""

    address = forms.CharField(
        label=_("Address"),
        max_length=500,
        help_text=_("It begins with https:// and is on the open net."),
        widget=text_input(inputmode="url", autocapitalize="off"),
        error_messages=missing(_("Write the address that is to be told.")),
    )
    events = forms.MultipleChoiceField(
        label=_("Tell it when"),
        choices=Event.choices,
        initial=[one.value for one in Event],
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": _("Choose at least one thing to be told of."),
            "invalid_choice": _("Choose from the list."),
        },
    )
