"""Shapes of reviews: what plans show of a member and of the group."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from training.api.fields import Entries, OneOf, Text, WholeNumber
from training.api.serializers import SetHead
from training.models import Drawn
from training.selectors import reviews
from training.statistics import Flag


class Tally(serializers.Serializer[Any]):
    answered = serializers.IntegerField()
    called = serializers.IntegerField()


class Interval(serializers.Serializer[Any]):
    """A rate with the limits of its 90 % Wilson interval, 0 to 1. Never show the rate alone."""

    rate = serializers.FloatField()
    low = serializers.FloatField()
    high = serializers.FloatField()


class TechniqueLine(serializers.Serializer[Any]):
    """One technique of one member. `more_needed` is null where it is rarely called for."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)
    tally = Tally()
    interval = Interval(allow_null=True)
    standing = serializers.ChoiceField(source="flag", choices=[one.value for one in Flag])
    more_needed = serializers.IntegerField(allow_null=True)
    lost = serializers.FloatField()
    picked = Tally(help_text="The same in picked sets, which are never mixed with sets as drawn.")


class OtherLoss(serializers.Serializer[Any]):
    """Moves lost to no technique."""

    code = serializers.ChoiceField(choices=reviews.OTHER_CODES)
    lost = serializers.FloatField()


class Week(serializers.Serializer[Any]):
    """A week; `against_group`: own mean of moves lost less the group's on the same scrambles."""

    monday = serializers.DateField()
    plans = serializers.IntegerField()
    lost = serializers.IntegerField()
    against_group = serializers.FloatField(allow_null=True)


class Trend(serializers.Serializer[Any]):
    """Mann-Kendall's statistic with its two-sided chance, and Theil-Sen's slope a week."""

    s = serializers.IntegerField()
    z = serializers.FloatField()
    p = serializers.FloatField()
    slope = serializers.FloatField()


class Example(serializers.Serializer[Any]):
    """An own plan that lost moves to a technique."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)
    plan_id = serializers.IntegerField()
    set = SetHead(source="head")
    number = serializers.IntegerField()
    canonical = serializers.CharField()
    lost = serializers.FloatField()


class Progress(serializers.Serializer[Any]):
    """A member's review, over closed sets as drawn."""

    membership_id = serializers.IntegerField(source="membership.pk")
    member = serializers.CharField(source="membership.display_name")
    since = serializers.DateField()
    plans = serializers.IntegerField()
    solved = serializers.IntegerField()
    lost = serializers.IntegerField()
    to_work_on = serializers.ListField(
        child=serializers.ChoiceField(choices=reviews.TECHNIQUES), help_text="At most two."
    )
    strong = serializers.ListField(child=serializers.ChoiceField(choices=reviews.TECHNIQUES))
    techniques = TechniqueLine(many=True, source="lines")
    other_losses = OtherLoss(many=True)
    lost_by_third = serializers.ListField(
        child=serializers.IntegerField(), source="thirds", min_length=3, max_length=3
    )
    third_that_stands_out = serializers.IntegerField(
        source="stands_out", allow_null=True, help_text="From 0."
    )
    weeks = Week(many=True)
    trend = Trend(allow_null=True, help_text="Null before six weeks with plans: too early.")
    examples = Example(many=True)
    ends_on_bottom = serializers.IntegerField()
    turns_cube_late = serializers.IntegerField()
    back_turns = serializers.IntegerField()
    half_turns = serializers.IntegerField()

    def to_representation(self, instance: reviews.MemberReview) -> dict[str, Any]:
        """As declared; pairs and mappings of the review become lists of objects."""
        plain = {name: getattr(instance, name) for name in instance.__slots__}
        plain["to_work_on"] = [one.code for one in instance.to_work_on]
        plain["strong"] = [one.code for one in instance.strong]
        plain["other_losses"] = losses(instance.other_losses)
        plain["examples"] = [
            {"code": code, **{name: getattr(one, name) for name in one.__slots__}}
            for code, shown in instance.examples.items()
            for one in shown
        ]
        return super().to_representation(plain)


def losses(pairs: tuple[tuple[str, float], ...]) -> list[dict[str, Any]]:
    """Moves lost by code, as objects."""
    return [{"code": code, "lost": lost} for code, lost in pairs]


class ReviewAsked(Entries):
    """Which plans a group review looks at."""

    weeks = WholeNumber(min_value=1, max_value=52, default=4)
    group = Text(max_length=40, allow_blank=True, default="")
    drawn = OneOf(choices=Drawn.choices, default=Drawn.AS_DRAWN)


class GroupLine(serializers.Serializer[Any]):
    """One technique of the group. `need` orders them: moves lost times who needs it."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)
    tally = Tally()
    interval = Interval(allow_null=True)
    lost = serializers.FloatField()
    lacking = serializers.ListField(child=serializers.CharField())
    group_lacks = serializers.BooleanField()
    need = serializers.FloatField()


class MemberLine(serializers.Serializer[Any]):
    membership_id = serializers.IntegerField()
    member = serializers.CharField()
    groups = serializers.ListField(child=serializers.CharField())
    plans = serializers.IntegerField()
    solved = serializers.IntegerField()
    lost = serializers.IntegerField()
    techniques = TechniqueLine(many=True)


class Item(serializers.Serializer[Any]):
    """A scramble as an item; `facility`: share of plans exactly at the best."""

    set = SetHead(source="head")
    number = serializers.IntegerField()
    text = serializers.CharField()
    best = serializers.IntegerField()
    plans = serializers.IntegerField()
    exact = serializers.IntegerField()
    facility = Interval()
    lost = serializers.IntegerField()
    stands_out = serializers.BooleanField()


class WeekMean(serializers.Serializer[Any]):
    monday = serializers.DateField()
    lost_a_plan = serializers.FloatField(allow_null=True)


class Review(serializers.Serializer[Any]):
    """The group review, over closed sets."""

    since = serializers.DateField()
    weeks = serializers.IntegerField()
    group = serializers.CharField(allow_blank=True)
    drawn = serializers.ChoiceField(choices=Drawn.choices)
    target = serializers.FloatField()
    techniques = GroupLine(many=True)
    other_losses = OtherLoss(many=True)
    members = MemberLine(many=True)
    scrambles = Item(many=True, source="items", help_text="The hardest first.")
    week_means = WeekMean(many=True)
    quiet = serializers.ListField(child=serializers.CharField())
    groups = serializers.ListField(child=serializers.CharField())

    def to_representation(self, instance: Any) -> dict[str, Any]:
        """As declared; pairs become objects."""
        plain = {name: getattr(instance, name) for name in instance.__slots__}
        plain["other_losses"] = losses(instance.other_losses)
        plain["week_means"] = [
            {"monday": monday, "lost_a_plan": mean} for monday, mean in instance.week_means
        ]
        return super().to_representation(plain)
