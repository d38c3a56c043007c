"""Whom an invite lets in; who agreed for a child."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import Membership, Role
from training.rights import may_invite
from training.web.parts.fields import missing, number_errors, text_input

_INVITED = ((Role.MEMBER, _("members")), (Role.COACH, _("coaches")))


class InviteForm(forms.Form):
    """Whom an invite link lets in. It offers what ``viewer`` may let in.

    With ``names`` a link is made for each of them, else one for ``places``.
    """

    role = forms.ChoiceField(
        label=_("Whom the link lets in"),
        choices=_INVITED,
        widget=forms.Select(attrs={"class": "input"}),
    )
    names = forms.CharField(
        label=_("Their names, one in a line"),
        required=False,
        max_length=2000,
        strip=False,
        help_text=_(
            "Each gets a link of their own and is in at once. Without names you get one link for "
            "many, and let in each who comes."
        ),
        widget=forms.Textarea(attrs={"class": "input", "rows": 3}),
    )
    places = forms.IntegerField(
        label=_("Without names: how many people"),
        min_value=1,
        max_value=500,
        initial=20,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
        error_messages=number_errors(1, 500)
        | missing(_("Write how many people the link lets in.")),
    )
    days = forms.IntegerField(
        label=_("For how many days"),
        min_value=1,
        max_value=90,
        initial=14,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
        error_messages=number_errors(1, 90) | missing(_("Write for how many days the link works.")),
    )

    def __init__(self, viewer: Membership, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered = [(role, words) for role, words in _INVITED if may_invite(viewer, role)]
        if len(offered) < len(_INVITED):
            # Another choice is still read, and refused with the reason.
            self.fields["role"].widget.choices = offered
            self.fields["role"].help_text = _("Only the owner of the club lets in coaches.")


class ConsentForm(forms.Form):
    """Who agreed, and how."""

    note = forms.CharField(
        label=_("Who agreed, and how"),
        max_length=200,
        help_text=_("For example: mother, signed form of 3 March."),
        widget=text_input(),
        error_messages=missing(_("Write who agreed and how.")),
    )
