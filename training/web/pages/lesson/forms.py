"""The form that gives a picked set for a lesson."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from training.models import Kind
from training.models.settings import MOST_SCRAMBLES
from training.services.lesson_sets import LEAST_MINUTES, MOST_DAYS, MOST_MINUTES
from training.web.parts.fields import day_errors, day_input, number_input, time_input
from training.web.parts.rules_of_one import OWN_RULES, rule_field

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

LEAST_MOVES, MOST_MOVES = 2, 8
_MOVES_WANTED = format_lazy(
    _("Write a number of moves from {least} to {most}."), least=LEAST_MOVES, most=MOST_MOVES
)


def _number(
    label: StrOrPromise, wanted: StrOrPromise, least: int, most: int, **options: Any
) -> forms.IntegerField:
    """A field for a whole number; ``wanted`` says what it takes, whatever else was written."""
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        widget=number_input(),
        error_messages=dict.fromkeys(("required", "invalid", "min_value", "max_value"), wanted),
        **options,
    )


class HeldForm(forms.Form):
    """Notes that a lesson on a habit was held: when, and with whom."""

    day = forms.DateField(
        label=_("Held on"),
        widget=day_input(),
        error_messages=day_errors(_("Choose the day.")),
    )
    group = forms.ChoiceField(
        label=_("With"),
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
        error_messages={"invalid_choice": _("Choose a group from the list.")},
    )

    def __init__(self, *args: Any, groups: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["group"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", _("everybody")), *((name, name) for name in groups)]


class LessonSetForm(forms.Form):
    """A picked set for a lesson: homework, or for a club night.

    Fields of the other occasion may stay empty; the style sheet hides them where it can.
    """

    scrambles = _number(
        _("How many crosses"),
        format_lazy(_("Give 1 to {most} crosses."), most=MOST_SCRAMBLES),
        1,
        MOST_SCRAMBLES,
        initial=5,
    )
    shortest = _number(_("Shortest, in moves"), _MOVES_WANTED, LEAST_MOVES, MOST_MOVES)
    longest = _number(_("Longest, in moves"), _MOVES_WANTED, LEAST_MOVES, MOST_MOVES)
    group = forms.ChoiceField(
        label=_("For whom"),
        required=False,
        widget=forms.Select(attrs={"class": "input"}),
        error_messages={"invalid_choice": _("Choose a group from the list.")},
    )
    occasion = forms.ChoiceField(
        label=_("Give it as"),
        choices=[
            (Kind.HOMEWORK, _("homework, open for days")),
            (Kind.CLUB_NIGHT, _("a set for a club night, open for minutes")),
        ],
        initial=Kind.HOMEWORK,
        widget=forms.RadioSelect,
        error_messages=dict.fromkeys(
            ("required", "invalid_choice"), _("Choose homework or a club night.")
        ),
    )
    opens_day = forms.DateField(
        label=_("Day"),
        widget=day_input(),
        error_messages=day_errors(_("Choose the day.")),
    )
    days = _number(
        _("Days open"),
        format_lazy(_("Homework is open for 1 to {most} days."), most=MOST_DAYS),
        1,
        MOST_DAYS,
        initial=7,
        required=False,
    )
    begins = forms.TimeField(
        label=_("Begins at"),
        initial=time(18, 30),
        required=False,
        widget=time_input(),
        error_messages=dict.fromkeys(
            ("required", "invalid"), _("Write the time as hours and minutes, for example 18:30.")
        ),
    )
    minutes = _number(
        _("Minutes open"),
        format_lazy(
            _("A club night is open for {least} to {most} minutes."),
            least=LEAST_MINUTES,
            most=MOST_MINUTES,
        ),
        LEAST_MINUTES,
        MOST_MINUTES,
        initial=90,
        required=False,
    )

    timing, held = rule_field("timing"), rule_field("held")

    OF_OCCASION: ClassVar = {Kind.HOMEWORK: ("days",), Kind.CLUB_NIGHT: ("begins", "minutes")}

    def __init__(self, *args: Any, groups: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["group"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", _("everybody")), *((name, name) for name in groups)]

    def clean(self) -> dict[str, Any]:
        """Ask for what the occasion needs; what is wrong of the other one does not matter."""
        entry = super().clean() or self.cleaned_data
        occasion = entry.get("occasion")
        for kind, names in self.OF_OCCASION.items():
            for name in names:
                if kind != occasion:
                    self.errors.pop(name, None)
                elif entry.get(name) is None and name not in self.errors:
                    self.add_error(name, self.fields[name].error_messages["required"])
        return entry

    @property
    def before_occasion(self) -> list[forms.BoundField]:
        """What every set for a lesson has."""
        return [self[name] for name in ("group", "scrambles", "shortest", "longest", "opens_day")]

    @property
    def own_rules(self) -> list[forms.BoundField]:
        """The rules that the set may have of its own."""
        return [self[name] for name in OWN_RULES]
