"""What a coach sees of a day."""

from __future__ import annotations

from rest_framework import serializers

from training.api.serializers.plans import PlanOf
from training.api.serializers.sets import SetHead
from training.api.serializers.shape import Shape
from training.selectors import coach, quiet, week_costs


class MemberDay(Shape):
    """One member's part of a set. `plans` is empty until you may read them."""

    class Meta:
        dataclass = coach.MemberDay
        inner = (PlanOf,)


class CoachSet(Shape):
    """A set with everybody's plans, and with whoever has handed in none."""

    expected = serializers.IntegerField()

    class Meta:
        dataclass = coach.CoachSet
        inner = (SetHead, MemberDay)


class Newcomer(Shape):
    """Somebody new: `waits` to be let in by a coach, or a member `since` then."""

    class Meta:
        dataclass = coach.Newcomer


class MemberLoss(Shape):
    """Moves that a member's plans lost since `losses_since`."""

    class Meta:
        dataclass = coach.MemberLoss


class CauseLoss(Shape):
    """Moves lost to one cause: a technique, or one of the causes that are no technique."""

    class Meta:
        dataclass = coach.CauseLoss


class MemberCost(Shape):
    """What the week has cost one member so far, in points as the tables charge them."""

    class Meta:
        dataclass = week_costs.MemberCost


class HeadingCost(Shape):
    """What the week has cost by one heading of the accounts; `members`: names, most first."""

    class Meta:
        dataclass = week_costs.HeadingCost


class WeekCost(Shape):
    """All that the tables charge of the week so far, by member and by heading."""

    class Meta:
        dataclass = week_costs.WeekCost
        inner = (MemberCost, HeadingCost)


class Quiet(Shape):
    """A member from whom nothing came for a week; `last_at` is null for no plan ever."""

    class Meta:
        dataclass = quiet.Quiet


class Overview(Shape):
    """A coach's day: the sets that are open, what the week cost, who went quiet."""

    class Meta:
        dataclass = coach.Overview
        inner = (CoachSet, MemberLoss, CauseLoss, Newcomer, WeekCost, Quiet)
