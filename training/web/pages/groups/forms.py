"""What a group is called, and who is moved to which from when."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.web.parts.fields import day_errors, day_input, missing, text_input

NOWHERE = "none"


class GroupNameForm(forms.Form):
    """The name of a group."""

    name = forms.CharField(
        label=_("Name of the group"),
        max_length=40,
        widget=text_input(),
        error_messages=missing(_("Write what the group is called.")),
    )


class GroupMoveForm(forms.Form):
    """Who belongs to which group from a day on."""

    who = forms.TypedMultipleChoiceField(
        label=_("Whom"),
        coerce=int,
        widget=forms.CheckboxSelectMultiple(),
        error_messages={
            "required": _("Tick at least one member."),
            "invalid_choice": _("Somebody of these is no longer here. Look again."),
        },
    )
    group = forms.ChoiceField(
        label=_("To which group"),
        widget=forms.Select(attrs={"class": "input"}),
        error_messages=missing(_("Choose a group.")),
    )
    from_day = forms.DateField(
        label=_("From which day on"),
        widget=day_input(),
        help_text=_("A day that has passed, today, or one to come. Results before it stay."),
        error_messages=day_errors(_("Write from which day on.")),
    )
    seen = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput())

    def __init__(
        self,
        people: Iterable[tuple[int, str]],
        groups: Iterable[tuple[int, str]],
        *args: Any,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["who"].choices = list(people)  # type: ignore[attr-defined]
        self.fields["group"].choices = [  # type: ignore[attr-defined]
            *((str(pk), name) for pk, name in groups),
            (NOWHERE, _("no group")),
        ]
