"""What plans show of the group, and which plans are asked about."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Entries, OneOf, Text, WholeNumber
from training.api.serializers.catching_up import CatchingUp
from training.api.serializers.reviews import Interval, OtherLoss, Tally, TechniqueLine
from training.api.serializers.sets import SetHead
from training.api.serializers.shape import Pair, Shape
from training.models import Drawn
from training.selectors import group_reviews, reviews, scramble_items

REVIEWED = [(one.value, one.label) for one in (Drawn.AS_DRAWN, Drawn.PICKED)]
"""How the sets of a review were drawn; what is planned again is in none."""


class ReviewAsked(Entries):
    """Which plans a group review looks at."""

    weeks = WholeNumber(min_value=1, max_value=52, default=4)
    group = Text(max_length=40, allow_blank=True, default="")
    drawn = OneOf(choices=REVIEWED, default=Drawn.AS_DRAWN)


class GroupLine(Shape):
    """One technique of the group. `need`: points a week that a lesson could save."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)

    class Meta:
        dataclass = group_reviews.GroupLine
        inner = (Tally, Interval)


class MemberLine(Shape):
    """One member of the group, technique by technique."""

    class Meta:
        dataclass = group_reviews.MemberLine
        inner = (TechniqueLine,)
        exclude = ("account",)


class HabitLine(Shape):
    """What costs the group beside ideas. `points`: as the table charges; `need`: a week."""

    points = serializers.FloatField()

    class Meta:
        dataclass = group_reviews.HabitLine


class Item(Shape):
    """A scramble and how it went; `facility`: the share of plans exactly at the best."""

    set = SetHead(source="head")

    class Meta:
        dataclass = scramble_items.Item
        exclude = ("head",)
        inner = (Interval,)


class WeekMean(Pair):
    """Moves lost per solved plan in the week from `monday`; null in a week without one."""

    monday = serializers.DateField()
    lost_a_plan = serializers.FloatField(allow_null=True)


class GroupReview(Shape):
    """The group review, over closed sets."""

    drawn = serializers.ChoiceField(choices=REVIEWED)
    other_losses = OtherLoss(many=True)
    scrambles = Item(many=True, source="items", help_text="The hardest first.")
    week_means = WeekMean(many=True)
    catches_up = CatchingUp()

    class Meta:
        dataclass = group_reviews.GroupReview
        ref_name = "Review"
        exclude = ("items",)
        inner = (GroupLine, MemberLine, HabitLine)
