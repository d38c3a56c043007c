"""What a coach puts right of somebody."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import Membership, Role
from training.web.parts.fields import missing, text_input


class NameForm(forms.Form):
    """The name that others in the club see."""

    display_name = forms.CharField(
        label=_("The name that others in the club see"),
        max_length=40,
        widget=text_input(),
        error_messages=missing(_("Write the name that others see.")),
    )

    def __init__(self, entered: Any, *, person: Membership) -> None:
        super().__init__(entered, initial={"display_name": person.display_name})


class RoleForm(forms.Form):
    """What somebody is in the club. Owners may be several."""

    HAND_OVER = "hand_over"

    role = forms.ChoiceField(
        label=_("Role"),
        choices=[
            (Role.MEMBER, _("member")),
            (Role.COACH, _("coach: sees plans and looks after members")),
            (Role.OWNER, _("owner too: also decides who coaches and reads the log")),
            (HAND_OVER, _("owner in your place: you stay a coach")),
        ],
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose member, coach or owner."),
            "invalid_choice": _("Choose member, coach or owner."),
        },
    )

    def __init__(self, entered: Any, *, person: Membership) -> None:
        super().__init__(entered, initial={"role": person.role})


class CompetingForm(forms.Form):
    """Whether a coach competes."""

    in_tables = forms.ChoiceField(
        label=_("In the tables"),
        choices=[("yes", _("competes: stands in them")), ("no", _("stays out"))],
        help_text=_(
            "From the next set that opens. A set that is open runs on as it began, and until it "
            "closes a coach who competes in it sees what members see."
        ),
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose one of the two."),
            "invalid_choice": _("Choose one of the two."),
        },
    )

    def __init__(self, entered: Any, *, person: Membership) -> None:
        super().__init__(entered, initial={"in_tables": "yes" if person.competes else "no"})


class AgeMarkForm(forms.Form):
    """Whether somebody is under 18."""

    age = forms.ChoiceField(
        label=_("Age"),
        choices=[("over", _("18 or older")), ("under", _("Under 18"))],
        help_text=_(
            "Marked as under 18, an account without a guardian’s consent is closed until one is "
            "noted."
        ),
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose one of the two."),
            "invalid_choice": _("Choose one of the two."),
        },
    )

    def __init__(self, entered: Any, *, person: Membership) -> None:
        age = "under" if person.under_18 else "over"
        super().__init__(entered, initial={"age": age})
