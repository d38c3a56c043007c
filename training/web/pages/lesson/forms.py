"""The form that gives a picked set for a lesson."""

from __future__ import annotations

from datetime import time
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import Kind
from training.services import lesson_sets
from training.web.parts.fields import day_errors, day_input, missing, number_input, time_input


class LessonSetForm(forms.Form):
    """A picked set for a lesson: homework, or for a club night.

    Fields of the other occasion may stay empty; the style sheet hides them where it can.
    """

    scrambles = forms.IntegerField(
        label=_("How many crosses"),
        min_value=1,
        max_value=12,
        initial=5,
        widget=number_input(),
    )
    shortest = forms.IntegerField(
        label=_("Shortest, in moves"),
        min_value=2,
        max_value=8,
        widget=number_input(),
    )
    longest = forms.IntegerField(
        label=_("Longest, in moves"),
        min_value=2,
        max_value=8,
        widget=number_input(),
    )
    occasion = forms.ChoiceField(
        label=_("Give it as"),
        choices=[
            (Kind.HOMEWORK, _("homework, open for days")),
            (Kind.CLUB_NIGHT, _("a set for a club night, open for minutes")),
        ],
        initial=Kind.HOMEWORK,
        widget=forms.RadioSelect,
        error_messages=missing(_("Choose homework or a club night.")),
    )
    opens_day = forms.DateField(
        label=_("Day"),
        widget=day_input(),
        error_messages=day_errors(_("Choose the day.")),
    )
    days = forms.IntegerField(
        label=_("Days open"),
        min_value=1,
        max_value=lesson_sets.MOST_DAYS,
        initial=7,
        required=False,
        widget=number_input(),
    )
    begins = forms.TimeField(
        label=_("Begins at"),
        initial=time(18, 30),
        required=False,
        widget=time_input(),
        error_messages={"invalid": _("Write the time as hours and minutes, for example 18:30.")},
    )
    minutes = forms.IntegerField(
        label=_("Minutes open"),
        min_value=lesson_sets.LEAST_MINUTES,
        max_value=lesson_sets.MOST_MINUTES,
        initial=90,
        required=False,
        widget=number_input(),
    )

    OF_OCCASION: ClassVar = {Kind.HOMEWORK: ("days",), Kind.CLUB_NIGHT: ("begins", "minutes")}

    def clean(self) -> dict[str, Any]:
        """Ask for what the occasion needs; what is wrong of the other one does not matter."""
        entry = super().clean() or self.cleaned_data
        occasion = entry.get("occasion")
        for kind, names in self.OF_OCCASION.items():
            for name in names:
                if kind != occasion:
                    self.errors.pop(name, None)
                elif entry.get(name) is None and name not in self.errors:
                    self.add_error(name, _("This is needed."))
        return entry

    @property
    def before_occasion(self) -> list[forms.BoundField]:
        """What every set for a lesson has."""
        return [self[name] for name in ("scrambles", "shortest", "longest", "opens_day")]
