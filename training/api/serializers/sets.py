"""Sets, scrambles and plans as one member sees them, and the plan that is handed in."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Entries, Key, Text, YesOrNo
from training.api.serializers.reports import Report
from training.api.serializers.shape import Shape
from training.selectors import plans, set_heads

STATES = tuple(one.value for one in plans.State)
"""The states of a plan, from which the document makes a name of their own."""


class HandIn(Entries):
    """A plan to hand in. The same `key` with the same plan gives the first answer again."""

    key = Key(help_text="Made by you, a new one for each plan.")
    plan = Text(
        allow_blank=True, trim_whitespace=False, default="", help_text="The moves, as written."
    )
    no_plan = YesOrNo(default=False, help_text="No plan was found: counts 8.")
    cross_is_solved = YesOrNo(
        default=False, help_text="Nothing to turn: the cross is already solved."
    )
    lower_case_meant = YesOrNo(
        default=False, help_text="A plan all in lower case does mean outer blocks."
    )


class Plan(Shape):
    """A plan. `report` is null until the answers are open to you."""

    class Meta:
        dataclass = plans.PlanView
        ref_name = "Plan"
        exclude = ("membership_id", "member")
        inner = (Report,)


class PlanOf(Shape):
    """A plan with whose it is, for coaches."""

    class Meta:
        dataclass = plans.PlanView
        ref_name = "PlanOf"
        inner = (Report,)


class Scramble(Shape):
    """One scramble of a set, with the own plan if it is in."""

    class Meta:
        dataclass = plans.ScrambleView
        ref_name = "Scramble"
        inner = (Plan,)


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
