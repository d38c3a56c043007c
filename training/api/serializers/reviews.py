"""What plans show of one member."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rest_framework import serializers

from training import statistics, yardsticks
from training.api.serializers.sets import SetHead
from training.api.serializers.shape import Pair, Shape, plain
from training.selectors import review_examples, reviews


class CodeOf(serializers.ChoiceField):
    """Of a technique's line its code alone."""

    def to_representation(self, value: Any) -> str:
        return str(super().to_representation(value.code))


class Tally(Shape):
    """How often a technique was answered, of the times it was called for."""

    class Meta:
        dataclass = statistics.Tally


class Interval(Shape):
    """A rate with the limits of its 90 % Wilson interval, 0 to 1. Never show the rate alone."""

    class Meta:
        dataclass = statistics.Interval


class TechniqueLine(Shape):
    """One technique of one member. `more_needed` is null where it is rarely called for."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)
    standing = serializers.ChoiceField(
        source="flag.words", choices=[one.words for one in yardsticks.Flag], read_only=True
    )
    lean = serializers.ChoiceField(
        choices=[one.value for one in yardsticks.Lean],
        help_text="How it leans where there is not enough evidence.",
    )

    class Meta:
        dataclass = reviews.TechniqueLine
        inner = (Tally, Interval)
        exclude = ("flag",)
        extra_kwargs = {
            "picked": {
                "help_text": "The same in picked sets, which are never mixed with sets as drawn."
            }
        }


class OtherLoss(Pair):
    """Moves lost to no technique."""

    code = serializers.ChoiceField(choices=reviews.OTHER_CODES)
    lost = serializers.FloatField()


class Week(Shape):
    """A week in points; `against_others`: the mean of a plan less the others' on the same."""

    class Meta:
        dataclass = reviews.Week


class Trend(Shape):
    """Mann-Kendall's statistic with its two-sided chance, and Theil-Sen's slope a week."""

    class Meta:
        dataclass = statistics.Trend
        exclude = ("variance",)


class ByTechnique(serializers.ListSerializer[Any]):
    """Examples kept by technique, as one list."""

    def to_representation(self, data: Mapping[str, tuple[Any, ...]]) -> list[Any]:  # type: ignore[override]
        return super().to_representation(
            [{"code": code, **plain(one)} for code, shown in data.items() for one in shown]
        )


class Example(Shape):
    """A plan of the member's that lost moves to a technique."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)
    set = SetHead(source="head")

    class Meta:
        dataclass = review_examples.Example
        exclude = ("head",)
        list_serializer_class = ByTechnique


class MemberReview(Shape):
    """A member's review, over closed sets as drawn."""

    membership_id = serializers.IntegerField(source="membership.pk")
    member = serializers.CharField(source="membership.display_name")
    to_work_on = serializers.ListField(
        child=CodeOf(choices=reviews.TECHNIQUES), help_text="At most two."
    )
    strong = serializers.ListField(child=CodeOf(choices=reviews.TECHNIQUES))
    techniques = TechniqueLine(many=True, source="lines")
    other_losses = OtherLoss(many=True)
    examples = Example(many=True)

    class Meta:
        dataclass = reviews.MemberReview
        ref_name = "Progress"
        inner = (Week, Trend)
        exclude = ("membership", "lines", "account", "first_plans", "group")
        extra_kwargs = {
            "trend": {"help_text": "Null before six weeks with plans: too early."},
        }
