"""What somebody who joins writes, a group of fields at a time."""

from __future__ import annotations

from typing import NamedTuple

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models.settings import zone_choices
from training.web.parts.fields import missing, new_phrase, text_input


class NewAccountForm(forms.Form):
    """Sign-in name and phrase of a new account."""

    sign_in_name = forms.CharField(
        label=_("Sign-in name"),
        max_length=40,
        help_text=_("Letters and digits, without spaces. Only you and the coaches see it."),
        widget=text_input(autocomplete="username", autocapitalize="none"),
        error_messages=missing(_("Choose a sign-in name.")),
    )
    phrase = new_phrase()


class DisplayNameForm(forms.Form):
    """The first thing that somebody who joins writes."""

    display_name = forms.CharField(
        label=_("The name that others in the club see"),
        max_length=40,
        help_text=_("A first name or a nickname. It need not be your full name."),
        widget=text_input(autocomplete="nickname"),
        error_messages=missing(_("Write the name that others see.")),
    )


class AgeForm(forms.Form):
    """Whether a guardian must agree first."""

    age = forms.ChoiceField(
        label=_("How old are you?"),
        choices=[("over", _("18 or older")), ("under", _("Under 18"))],
        widget=forms.RadioSelect,
        error_messages=missing(_("Choose one of the two.")),
    )


class Step(NamedTuple):
    """One step of joining: its name in the form's hidden fields, and what it asks."""

    name: str
    form: type[forms.Form]


STEPS = (Step("name", DisplayNameForm), Step("age", AgeForm), Step("account", NewAccountForm))
"""The steps of joining. Somebody who has an account already leaves the last one out."""


def _zones_and_none() -> list[tuple[str, list[tuple[str, str]] | str]]:
    """The zones after an empty choice: nobody's own zone is a better guess than another's."""
    return [("", str(_("Choose the time zone"))), *zone_choices()]


class StartForm(NewAccountForm):
    """What the first owner writes. The page's script proposes the browser's own zone."""

    club_name = forms.CharField(
        label=_("Name of the club"),
        max_length=60,
        widget=text_input(),
        error_messages=missing(_("Give the club a name.")),
    )
    time_zone = forms.ChoiceField(
        label=_("Time zone of the club"),
        choices=_zones_and_none,
        help_text=_("It decides when a day begins and ends."),
        widget=forms.Select(attrs={"class": "input", "data-own-zone": True}),
        error_messages=missing(_("Choose the time zone of the club.")),
    )
    display_name = forms.CharField(
        label=_("Your name, as members see it"),
        max_length=40,
        widget=text_input(autocomplete="nickname"),
        error_messages=missing(_("Write the name that others see.")),
    )
    field_order = ["club_name", "time_zone", "display_name", "sign_in_name", "phrase"]
