"""What a coach sees of a day."""

from __future__ import annotations

from rest_framework import serializers

from training.api.serializers.plans import PlanOf
from training.api.serializers.sets import SetHead
from training.api.serializers.shape import Shape
from training.selectors import coach


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


class Overview(Shape):
    """A coach's day: the sets that are open, and what the week's plans lost."""

    class Meta:
        dataclass = coach.Overview
        inner = (CoachSet, MemberLoss, CauseLoss, Newcomer)
