"""What somebody who joins writes, a group of fields at a time."""

from __future__ import annotations

from django import forms

from training.web.parts.fields import missing, new_phrase, text_input, zones


class NewAccountForm(forms.Form):
    """Sign-in name and phrase of a new account."""

    sign_in_name = forms.CharField(
        label="Sign-in name",
        max_length=40,
        help_text="Letters and digits, no blanks. Only you and the coaches see it.",
        widget=text_input(autocomplete="username", autocapitalize="none"),
        error_messages=missing("Choose a sign-in name."),
    )
    phrase = new_phrase()


class DisplayNameForm(forms.Form):
    """The first thing that somebody who joins writes."""

    display_name = forms.CharField(
        label="The name that others in the club see",
        max_length=40,
        help_text="A first name or a name of your own. It need not be your full name.",
        widget=text_input(autocomplete="nickname"),
        error_messages=missing("Write the name that others see."),
    )


class AgeForm(forms.Form):
    """Whether a guardian must agree first."""

    age = forms.ChoiceField(
        label="How old are you?",
        choices=[("over", "18 or older"), ("under", "Under 18")],
        widget=forms.RadioSelect,
        error_messages=missing("Choose one of the two."),
    )


class StartForm(NewAccountForm):
    """What the first owner writes."""

    club_name = forms.CharField(
        label="Name of the club",
        max_length=60,
        widget=text_input(),
        error_messages=missing("Give the club a name."),
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
        widget=text_input(autocomplete="nickname"),
        error_messages=missing("Write the name that others see."),
    )
    field_order = ["club_name", "time_zone", "display_name", "sign_in_name", "phrase"]
