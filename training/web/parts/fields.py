"""What forms of several pages share: their widgets, the words for an empty field."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


def text_input(**attrs: Any) -> forms.TextInput:
    return forms.TextInput(attrs={"class": "input", "spellcheck": "false", **attrs})


def secret_input(autocomplete: str) -> forms.PasswordInput:
    # A new phrase stays in the form on a refusal, because four words are long to type twice.
    # One that did not open the door is not sent back.
    # The page's script puts a button beside it, which shows what is typed.
    return forms.PasswordInput(
        attrs={
            "class": "input",
            "autocomplete": autocomplete,
            "data-show": _("Show it"),
            "data-hide": _("Hide it"),
        },
        render_value=autocomplete == "new-password",
    )


def missing(words: StrOrPromise) -> dict[str, StrOrPromise]:
    """The words for a field that was left empty, as a form's field takes them."""
    return {"required": words}


class ChoicesBeside(forms.CheckboxSelectMultiple):
    beside = True


def new_phrase() -> forms.CharField:
    """The field for a pass phrase that somebody chooses."""
    return forms.CharField(
        label=_("New pass phrase"),
        max_length=200,
        strip=False,
        help_text=_("Ten characters or more. Three or four words that you remember are best."),
        widget=secret_input("new-password"),
        error_messages=missing(_("Write a pass phrase.")),
    )


def number_input() -> forms.NumberInput:
    """For a whole number: a phone shows its digits."""
    return forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"})


def number_errors(least: int, most: int) -> dict[str, StrOrPromise]:
    """What is said of a number that is missing, is none, or lies beyond its bounds."""
    words = format_lazy(_("Write a whole number from {least} to {most}."), least=least, most=most)
    return dict.fromkeys(("required", "invalid", "min_value", "max_value"), words)


def day_input() -> forms.DateInput:
    """For a date, in the form that browsers ask and send."""
    return forms.DateInput(attrs={"class": "input", "type": "date"}, format="%Y-%m-%d")


def time_input() -> forms.TimeInput:
    """For a time of day."""
    return forms.TimeInput(attrs={"class": "input", "type": "time"}, format="%H:%M")


def day_errors(missing_words: StrOrPromise) -> dict[str, StrOrPromise]:
    """What is said of a date that is missing or cannot be read."""
    return {
        "required": missing_words,
        "invalid": _("Write the date as year-month-day, for example 2026-12-24."),
    }
