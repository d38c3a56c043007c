"""What is corrected of a set, and why."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training.web.parts.fields import ChoicesBeside, missing, number_input, text_input

WHOLE_SET = "set"


def why() -> forms.CharField:
    """A reason, in a few words."""
    return forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        widget=text_input(),
        error_messages=missing(gettext_lazy("Say why, in a few words.")),
    )


class UndoForm(forms.Form):
    """Why an entry is taken back."""

    reason = why()


class OutForm(forms.Form):
    """What counts for nobody: a scramble or the whole set. The reason stands beside the table."""

    what = forms.ChoiceField(
        label=gettext_lazy("What does not count"),
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose a scramble or the whole set."),
            "invalid_choice": gettext_lazy("Choose a scramble or the whole set."),
        },
    )
    reason = why()

    def __init__(self, entered: Any, *, numbers: Iterable[int], whole: bool) -> None:
        super().__init__(entered)
        choices = [(str(one), _("Scramble {number}").format(number=one)) for one in numbers]
        choices += [(WHOLE_SET, _("The whole set"))] * whole
        what = self.fields["what"]
        assert isinstance(what, forms.ChoiceField)
        what.choices = choices
        self.fields["reason"].help_text = _("Everybody reads this beside the table.")


class WindowForm(forms.Form):
    """For whom a set is open longer, by how much, and why."""

    members = forms.MultipleChoiceField(
        label=gettext_lazy("For whom"),
        widget=ChoicesBeside(),
        error_messages={
            "required": gettext_lazy("Choose at least one member."),
            "invalid_choice": gettext_lazy("Choose the members from the list."),
        },
    )
    longer = forms.IntegerField(
        label=gettext_lazy("By how many hours"),
        min_value=1,
        max_value=24,
        widget=number_input(),
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            gettext_lazy("Write whole hours, 24 at most."),
        ),
    )
    begins = forms.IntegerField(
        label=gettext_lazy("Opens for them in how many hours"),
        help_text=gettext_lazy(
            "Empty: it stays open for them. Otherwise it is sealed for them until then: crosses, "
            "answers, table."
        ),
        min_value=1,
        max_value=47,
        required=False,
        widget=number_input(),
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value"), gettext_lazy("Write whole hours, 47 at most.")
        ),
    )
    because = why()

    def __init__(self, entered: Any, *, members: Iterable[tuple[int, str]]) -> None:
        super().__init__(entered)
        field = self.fields["members"]
        assert isinstance(field, forms.MultipleChoiceField)
        field.choices = [(str(pk), name) for pk, name in members]
        self.fields["because"].help_text = _("Everybody reads this beside the table.")


class SpareForm(forms.Form):
    """In whose place the spare is put, why, and by how much longer the set is open."""

    place = forms.ChoiceField(
        label=gettext_lazy("In place of"),
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose the scramble in whose place it is put."),
            "invalid_choice": gettext_lazy("Choose the scramble in whose place it is put."),
        },
    )
    hours = forms.IntegerField(
        label=gettext_lazy("Hours that the set is open longer"),
        help_text=gettext_lazy("Empty: it closes when it would have."),
        required=False,
        min_value=1,
        max_value=24,
        widget=forms.NumberInput(attrs={"class": "input", "inputmode": "numeric"}),
        error_messages={
            "invalid": gettext_lazy("Write whole hours, 24 at most."),
            "min_value": gettext_lazy("Write whole hours, 24 at most."),
            "max_value": gettext_lazy("Write whole hours, 24 at most."),
        },
    )
    reason = why()

    def __init__(self, entered: Any, *, places: Iterable[int]) -> None:
        super().__init__(entered, auto_id="id_spare_%s")
        place = self.fields["place"]
        assert isinstance(place, forms.ChoiceField)
        place.choices = [(str(one), _("Scramble {number}").format(number=one)) for one in places]
