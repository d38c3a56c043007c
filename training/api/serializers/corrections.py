"""Corrections of results."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Entries, Instant, OneOf, Text, Texts, WholeNumber
from training.api.paging import Paged
from training.api.serializers.shape import Shape
from training.models import Corrected
from training.selectors import corrections

HIGHEST = 2**63 - 1

KINDS = tuple(Corrected.values)
"""What is corrected, from which the document makes a name of its own."""


class CorrectionEntry(Shape):
    """An entry. `undoes` is the entry that it takes back; `before` and `after` what it changed."""

    kind = serializers.ChoiceField(choices=KINDS)
    before = serializers.DictField(
        allow_null=True, help_text="null while you, who compete, may not see plans of the set."
    )
    after = serializers.DictField(allow_null=True)

    class Meta:
        dataclass = corrections.CorrectionEntry
        ref_name = "Correction"


class CorrectionLog(Paged):
    """Some entries of a club, newest first."""

    entries = CorrectionEntry(many=True)
    has_older = serializers.BooleanField()


class LogOfCorrectionsAsked(Entries):
    """Which entries."""

    start = WholeNumber(
        min_value=0, max_value=1_000_000, default=0, help_text="The first entry, from 0."
    )


class Correct(Entries):
    """What is corrected: a `plan`, a scramble (`set` and `number`), or a whole `set`."""

    kind = OneOf(choices=KINDS)
    reason = Text(max_length=200, help_text="Why, in a few words.")
    plan = WholeNumber(
        min_value=1, max_value=HIGHEST, required=False, help_text="Of a plan's correction: its id."
    )
    set = WholeNumber(
        min_value=1, max_value=HIGHEST, required=False, help_text="Of all others: the set's id."
    )
    number = WholeNumber(
        min_value=1,
        max_value=100,
        required=False,
        help_text="Of a scramble: its number; of a `spare`, that of the void one in whose place.",
    )
    until = Instant(required=False, help_text="Of a set that is kept open longer: when it closes.")
    members = Texts(
        child=WholeNumber(min_value=1, max_value=HIGHEST),
        required=False,
        max_length=500,
        help_text="Of one that is kept open: for whom alone, by id; without it, for everybody.",
    )
    begins = Instant(
        required=False,
        help_text="With `members`: when it opens for them, who find it sealed until then.",
    )


class Undo(Entries):
    """Why an entry is taken back."""

    reason = Text(max_length=200, help_text="Why, in a few words.")
