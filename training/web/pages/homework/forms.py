"""Homework for one member: which idea, how many crosses, of which lengths, when."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from training.models.settings import MOST_SCRAMBLES
from training.services.lesson_sets import MOST_DAYS
from training.web.parts.fields import day_errors, day_input, number_input
from training.web.parts.rules_of_one import rule_field

LEAST_MOVES, MOST_MOVES = 2, 8


def _number(label: Any, wanted: Any, least: int, most: int, **options: Any) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        widget=number_input(),
        error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), wanted),
        **options,
    )


_MOVES = format_lazy(
    _("Write a number of moves from {least} to {most}."), least=LEAST_MOVES, most=MOST_MOVES
)


class HomeworkForm(forms.Form):
    """What the homework is drawn to. The idea that cost most is chosen already."""

    code = forms.ChoiceField(
        label=_("Idea"),
        widget=forms.Select(attrs={"class": "input"}),
        error_messages=dict.fromkeys(
            ("required", "invalid_choice"), _("Choose an idea from the list.")
        ),
    )
    scrambles = _number(
        _("How many crosses"),
        format_lazy(_("Give 1 to {most} crosses."), most=MOST_SCRAMBLES),
        1,
        MOST_SCRAMBLES,
        initial=5,
    )
    shortest = _number(_("Shortest, in moves"), _MOVES, LEAST_MOVES, MOST_MOVES)
    longest = _number(_("Longest, in moves"), _MOVES, LEAST_MOVES, MOST_MOVES)
    opens_day = forms.DateField(
        label=_("Day"), widget=day_input(), error_messages=day_errors(_("Choose the day."))
    )
    days = _number(
        _("Days open"),
        format_lazy(_("Homework is open for 1 to {most} days."), most=MOST_DAYS),
        1,
        MOST_DAYS,
        initial=7,
    )
    timing, held = rule_field("timing"), rule_field("held")

    def __init__(self, ideas: Iterable[tuple[str, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["code"].choices = list(ideas)  # type: ignore[attr-defined]
