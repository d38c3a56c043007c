"""Forms: the shape of what is typed. What it means is decided by the services."""

from __future__ import annotations

from typing import Any
from zoneinfo import available_timezones

from django import forms

from solverworker.report import COLOURS
from training.models import Role, Sight, Spelling
from training.web.times import WEEKDAYS


def _text(**attrs: Any) -> forms.TextInput:
    return forms.TextInput(attrs={"class": "input", "spellcheck": "false", **attrs})


def _secret(autocomplete: str) -> forms.PasswordInput:
    # A new phrase stays in the form on a refusal, because four words are long to type twice.
    # One that did not open the door is not sent back.
    return forms.PasswordInput(
        attrs={"class": "input", "autocomplete": autocomplete},
        render_value=autocomplete == "new-password",
    )


def zones() -> list[tuple[str, str]]:
    """The time zones that a club may choose, by region."""
    return [
        (name, name.replace("_", " "))
        for name in sorted(available_timezones())
        if "/" in name and not name.startswith(("Etc/", "SystemV/", "posix/", "right/"))
    ] + [("UTC", "UTC")]


def _missing(words: str) -> dict[str, str]:
    return {"required": words}


class SignInForm(forms.Form):
    """Name and phrase."""

    sign_in_name = forms.CharField(
        label="Sign-in name",
        max_length=40,
        widget=_text(autocomplete="username", autocapitalize="none"),
        error_messages=_missing("Write your sign-in name."),
    )
    phrase = forms.CharField(
        label="Pass phrase",
        max_length=200,
        strip=False,
        widget=_secret("current-password"),
        error_messages=_missing("Write your pass phrase."),
    )


class CodeForm(forms.Form):
    """Name and the code from a card."""

    sign_in_name = forms.CharField(
        label="Sign-in name",
        max_length=40,
        widget=_text(autocomplete="username", autocapitalize="none"),
        error_messages=_missing("Write your sign-in name. It stands on the card."),
    )
    code = forms.CharField(
        label="One-time code",
        max_length=40,
        help_text="Twelve letters and digits from the card. Hyphens and capitals do not matter.",
        widget=_text(autocomplete="one-time-code", autocapitalize="characters"),
        error_messages=_missing("Write the code from the card."),
    )


class PhraseForm(forms.Form):
    """A new pass phrase."""

    phrase = forms.CharField(
        label="New pass phrase",
        max_length=200,
        strip=False,
        help_text="Ten characters or more. Three or four words that you remember are best.",
        widget=_secret("new-password"),
        error_messages=_missing("Write a pass phrase."),
    )


class NewAccountForm(PhraseForm):
    """Sign-in name and phrase of a new account."""

    sign_in_name = forms.CharField(
        label="Sign-in name",
        max_length=40,
        help_text="Letters and digits, no blanks. Only you and the coaches see it.",
        widget=_text(autocomplete="username", autocapitalize="none"),
        error_messages=_missing("Choose a sign-in name."),
    )
    field_order = ["sign_in_name", "phrase"]


class DisplayNameForm(forms.Form):
    """The first thing that somebody who joins writes."""

    display_name = forms.CharField(
        label="The name that others in the club see",
        max_length=40,
        help_text="A first name or a name of your own. It need not be your full name.",
        widget=_text(autocomplete="nickname"),
        error_messages=_missing("Write the name that others see."),
    )


class AgeForm(forms.Form):
    """Whether a guardian must agree first."""

    age = forms.ChoiceField(
        label="How old are you?",
        choices=[("over", "18 or older"), ("under", "Under 18")],
        widget=forms.RadioSelect,
        error_messages=_missing("Choose one of the two."),
    )


class StartForm(NewAccountForm):
    """What the first owner writes."""

    club_name = forms.CharField(
        label="Name of the club",
        max_length=60,
        widget=_text(),
        error_messages=_missing("Give the club a name."),
    )
    time_zone = forms.ChoiceField(
        label="Time zone of the club",
        choices=zones,
        help_text="It decides when a day begins and ends.",
        widget=forms.Select(attrs={"class": "input"}),
    )
    display_name = forms.CharField(
        label="Your name, as members see it",
        max_length=40,
        widget=_text(autocomplete="nickname"),
        error_messages=_missing("Write the name that others see."),
    )
    field_order = ["club_name", "time_zone", "display_name", "sign_in_name", "phrase"]


class InviteForm(forms.Form):
    """Whom an invite link lets in."""

    role = forms.ChoiceField(
        label="Who joins by it",
        choices=[(Role.MEMBER, "members"), (Role.COACH, "a coach")],
        widget=forms.Select(attrs={"class": "input"}),
    )
    places = forms.IntegerField(
        label="How many",
        min_value=1,
        max_value=500,
        initial=20,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    days = forms.IntegerField(
        label="For how many days",
        min_value=1,
        max_value=90,
        initial=14,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )


class ConsentForm(forms.Form):
    """Who agreed, and how."""

    note = forms.CharField(
        label="Who agreed, and how",
        max_length=200,
        help_text="For example: mother, signed form of 3 March.",
        widget=_text(),
        error_messages=_missing("Write who agreed and how."),
    )


class DayOffForm(forms.Form):
    """A date without a set."""

    day = forms.DateField(
        label="Day without a set",
        widget=forms.DateInput(attrs={"class": "input", "type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Choose the date.",
            "invalid": "Write the date as year-month-day, for example 2026-12-24.",
        },
    )
    reason = forms.CharField(
        label="Why (members see it)", max_length=80, required=False, widget=_text()
    )


class ReasonForm(forms.Form):
    """Why a plan is withdrawn."""

    reason = forms.CharField(
        label="Why it is withdrawn",
        max_length=200,
        help_text="The member reads this.",
        widget=_text(),
        error_messages=_missing("Say why the plan is withdrawn."),
    )


class _Beside(forms.CheckboxSelectMultiple):
    beside = True


class SettingsForm(forms.Form):
    """How a club's daily sets are made."""

    time_zone = forms.ChoiceField(
        label="Time zone", choices=zones, widget=forms.Select(attrs={"class": "input"})
    )
    weekdays = forms.TypedMultipleChoiceField(
        label="Days with a set",
        coerce=int,
        choices=list(enumerate(WEEKDAYS)),
        required=False,
        widget=_Beside,
    )
    opens = forms.TimeField(
        label="Opens at",
        widget=forms.TimeInput(attrs={"class": "input", "type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Write the time as hours and minutes: 18:30."},
    )
    closes = forms.TimeField(
        label="Closes at",
        help_text="At or before the opening time: the next day. 00:00 to 00:00 is a whole day.",
        widget=forms.TimeInput(attrs={"class": "input", "type": "time"}, format="%H:%M"),
        error_messages={"invalid": "Write the time as hours and minutes: 20:00."},
    )
    scrambles = forms.IntegerField(
        label="Scrambles a set",
        min_value=1,
        max_value=12,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    colours = forms.MultipleChoiceField(
        label="Cross colours allowed",
        choices=[(colour, colour) for colour in COLOURS],
        widget=_Beside,
        error_messages=_missing("Allow at least one cross colour."),
    )
    spelling = forms.ChoiceField(
        label="How plans are spelled",
        choices=[
            (Spelling.CLUB, "club spelling: also r, M, R3 and moves run together"),
            (Spelling.STRICT, "strict: WCA Article 12 only"),
        ],
        widget=forms.RadioSelect,
    )
    answers_to = forms.ChoiceField(
        label="Best, ledger and shortest solutions open to members",
        choices=Sight.choices,
        widget=forms.Select(attrs={"class": "input"}),
    )
    table_to = forms.ChoiceField(
        label="The table opens to members",
        choices=Sight.choices,
        help_text="Never before the answers: moves over the best give it away.",
        widget=forms.Select(attrs={"class": "input"}),
    )
    best_sets_counted = forms.IntegerField(
        label="Best sets of a week that count",
        required=False,
        min_value=1,
        max_value=14,
        help_text="Empty: all of them.",
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
    technique_target = forms.IntegerField(
        label="Target for an idea, in 100",
        min_value=1,
        max_value=99,
        help_text="How often the group should answer an idea that is called for. Below it the "
        "group review says that the group itself lacks the idea.",
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
    )
