"""Sets and their scrambles, as one member sees them."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Entries, OneOf, WholeNumber
from training.api.paging import Paged
from training.api.serializers.plans import Plan
from training.api.serializers.shape import Shape
from training.selectors import earlier, plans, set_heads


class Scramble(Shape):
    """One scramble of a set, with your plan if it is in."""

    class Meta:
        dataclass = plans.ScrambleView
        ref_name = "Scramble"
        inner = (Plan,)
        extra_kwargs = {
            "state": {
                "help_text": "That of your plan; `to_plan` while there is none and the set is "
                "open, `missed` once it has closed without one."
            }
        }


class SetHead(Shape):
    """A set without its scrambles: when it is open, and what it allows."""

    strict = serializers.BooleanField(help_text="Whether plans are read by WCA Article 12 alone.")

    class Meta:
        dataclass = set_heads.SetHead


class EarlierSet(Shape):
    """A set that has opened, without its scrambles. `plans` and `members` are for coaches.

    `again` is the id of your own set in which you plan it afterwards.
    """

    class Meta:
        dataclass = earlier.EarlierSet
        inner = (SetHead,)


class Sets(Paged):
    """A page of sets."""

    results = EarlierSet(many=True)


class SetsAsked(Entries):
    """Which sets."""

    kind = OneOf(
        choices=[(one.value, one.label) for one in earlier.KINDS],
        required=False,
        help_text="One kind; without it every kind.",
    )
    page = WholeNumber(
        min_value=1, max_value=100_000, default=1, help_text="50 sets a page, counted from 1."
    )


class Set(Shape):
    """A set with its scrambles."""

    class Meta:
        dataclass = plans.SetView
        ref_name = "Set"
        inner = (SetHead, Scramble)
