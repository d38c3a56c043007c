"""Sets and their scrambles, as one member sees them."""

from __future__ import annotations

from rest_framework import serializers

from training.api.serializers.plans import Plan
from training.api.serializers.shape import Shape
from training.selectors import plans, set_heads


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


class Set(Shape):
    """A set with its scrambles."""

    class Meta:
        dataclass = plans.SetView
        ref_name = "Set"
        inner = (SetHead, Scramble)
