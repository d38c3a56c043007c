"""Announcing a challenge."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training import clock
from training.models import Club, Group
from training.models.challenges import QUESTION_HOURS
from training.models.settings import MOST_SCRAMBLES, colour_options
from training.rules import Sight
from training.web.parts.fields import (
    ChoicesBeside,
    day_errors,
    day_input,
    number_errors,
    number_input,
    text_input,
    time_input,
)
from training.web.parts.rules_of_one import rule_field, rules_of_club


def _time(label: Any) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        widget=time_input(),
        error_messages={
            "required": _("Write the time as hours and minutes: 18:30."),
            "invalid": _("Write the time as hours and minutes: 18:30."),
        },
    )


class AnnounceForm(forms.Form):
    """When a challenge is open, how many crosses, in which colours, who reads what when."""

    name = forms.CharField(
        label=_("Name"),
        help_text=_("Empty: it is called by its number."),
        max_length=60,
        required=False,
        widget=text_input(),
    )
    opens_day = forms.DateField(
        label=_("Opens on"), widget=day_input(), error_messages=day_errors(_("Choose the date."))
    )
    opens = _time(_("at"))
    closes_day = forms.DateField(
        label=_("Closes on"), widget=day_input(), error_messages=day_errors(_("Choose the date."))
    )
    closes = _time(_("at"))
    scrambles = forms.IntegerField(
        label=_("Crosses"),
        min_value=1,
        max_value=MOST_SCRAMBLES,
        widget=number_input(),
        error_messages=number_errors(1, MOST_SCRAMBLES),
    )
    question_hours = forms.IntegerField(
        label=_("Hours for questions"),
        help_text=_("From the last verdict on. Then the result stands, if none is unanswered."),
        min_value=1,
        max_value=240,
        widget=number_input(),
        error_messages=number_errors(1, 240),
    )
    colours = forms.MultipleChoiceField(
        label=_("Cross colours allowed"),
        choices=colour_options,
        widget=ChoicesBeside,
        error_messages={
            "required": _("Allow at least one cross colour."),
            "invalid_choice": _("Choose the cross colours from the list."),
        },
    )
    answers_to = forms.ChoiceField(
        label=_("Best, moves lost and shortest ways open to members"),
        choices=[
            (Sight.CLOSING.value, _("once the challenge has closed")),
            (Sight.OWN_PLAN.value, _("once their own plan is in")),
        ],
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose from the list when answers open."),
            "invalid_choice": _("Choose from the list when answers open."),
        },
    )

    timing, held = rule_field("timing"), rule_field("held")

    groups = forms.ModelMultipleChoiceField(
        label=_("For whom"),
        help_text=_("None chosen: for everybody. One for groups feeds no season."),
        queryset=Group.objects.none(),
        required=False,
        widget=ChoicesBeside(),
        error_messages={"invalid_choice": _("Choose the groups from the list.")},
    )

    def __init__(self, entered: Any, *, club: Club, today: date) -> None:
        super().__init__(
            entered,
            initial={
                "opens_day": today,
                "opens": time(18),
                "closes_day": today,
                "closes": time(20),
                "scrambles": 5,
                "question_hours": QUESTION_HOURS,
                "colours": list(club.colours),
                "answers_to": Sight.CLOSING.value,
                **rules_of_club(club),
            },
            prefix="challenge",
        )
        self._zone = club.zone
        groups = Group.objects.of_club(club).in_use()
        if not groups:
            del self.fields["groups"]
        else:
            self.fields["groups"].queryset = groups  # type: ignore[attr-defined]
            self.fields["groups"].widget = ChoicesBeside(
                choices=[(one.pk, one.name) for one in groups]
            )

    def window(self) -> clock.Window:
        """From when to when it is open, on the club's own clock."""
        entered = self.cleaned_data
        return clock.Window(
            clock.local_to_utc(entered["opens_day"], entered["opens"], self._zone),
            clock.local_to_utc(entered["closes_day"], entered["closes"], self._zone, "closing"),
        )


def next_saturday(now: datetime, club: Club) -> date:
    """A day that many clubs choose, as a first proposal."""
    today = clock.local_date(now, club.zone)
    return date.fromordinal(
        today.toordinal() + (5 - today.weekday()) % 7 + 7 * (today.weekday() == 5)
    )
