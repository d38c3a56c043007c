"""A plan that is handed in, and plans as their viewers may see them."""

from __future__ import annotations

from training.api.fields import Entries, Key, Text, YesOrNo
from training.api.serializers.outlooks import Outlook
from training.api.serializers.reports import Report
from training.api.serializers.shape import Shape
from training.selectors import plans

STATES = tuple(one.value for one in plans.State)
"""The states of a plan, from which the document makes a name of their own."""


class HandIn(Entries):
    """A plan to hand in. The same `key` with the same plan gives the first answer again."""

    key = Key(help_text="Made by you, a new one for each plan.")
    plan = Text(
        allow_blank=True, trim_whitespace=False, default="", help_text="The moves, as written."
    )
    no_plan = YesOrNo(default=False, help_text="You have no plan: it counts 8.")
    cross_is_solved = YesOrNo(
        default=False, help_text="Nothing to turn: the cross is already solved."
    )
    lower_case_meant = YesOrNo(
        default=False, help_text="The plan is all in lower case, and outer blocks are meant."
    )
    held = Text(
        allow_blank=True,
        default="",
        help_text='The colours on top and in front at the start, as in "yellow green", in a set '
        "where `held` is `free`. Empty: as the scramble leaves the cube.",
    )
    pair_ahead = Text(
        allow_blank=True,
        trim_whitespace=False,
        default="",
        help_text="The moves for the first pair after the cross, if you planned so far. "
        "Checked and noted, in no table.",
    )


class Plan(Shape):
    """A plan. `report` and `outlook` are null until the answers are open to you.

    `outlook`, what the plan leaves, comes a moment after the report.
    """

    class Meta:
        dataclass = plans.PlanView
        ref_name = "Plan"
        exclude = ("membership_id", "member")
        inner = (Report, Outlook)


class PlanOf(Shape):
    """A plan and whose it is, for coaches."""

    class Meta:
        dataclass = plans.PlanView
        ref_name = "PlanOf"
        inner = (Report, Outlook)
