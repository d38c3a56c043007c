"""Names that somebody puts right."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import Person
from training.web.parts.fields import missing, text_input


class SignInNameForm(forms.Form):
    """The name that one signs in with."""

    sign_in_name = forms.CharField(
        label=_("Sign-in name"),
        max_length=40,
        help_text=_("Letters and digits, without spaces. Only you and the coaches see it."),
        widget=text_input(autocomplete="username", autocapitalize="none"),
        error_messages=missing(_("Choose a sign-in name.")),
    )

    def __init__(self, entered: Any, *, person: Person) -> None:
        super().__init__(entered, initial={"sign_in_name": person.sign_in_name})


class OwnNameForm(forms.Form):
    """The name that others in a club see."""

    display_name = forms.CharField(
        label=_("The name that others in the club see"),
        max_length=40,
        help_text=_("A first name or a nickname. It need not be your full name."),
        widget=text_input(autocomplete="nickname"),
        error_messages=missing(_("Write the name that others see.")),
    )
