"""What plans show of one member."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from solverworker.report import COLOURS
from training import account, outlooks, reach, statistics, yardsticks
from training.api.serializers.catching_up import CatchingUp
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
    """A rate with its 90 % limits, 0 to 1, which are never left out where it is shown.

    Wilson's; of a whole group's techniques by a bootstrap over sets.
    """

    class Meta:
        dataclass = statistics.Interval


class TechniqueLine(Shape):
    """One technique of one member. `more_needed` is null where it is rarely called for."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)
    standing = serializers.ChoiceField(
        source="flag.words", choices=[one.words for one in yardsticks.Flag]
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
    """A week. `points` as the table charges; `against_group`: a plan's mean less the others'."""

    against_group = serializers.FloatField(
        source="against_others",
        allow_null=True,
        help_text="Points a plan, less the mean of all others on the same scrambles.",
    )

    class Meta:
        dataclass = reviews.Week
        exclude = ("against_others",)


class Share(serializers.DictField):
    """Exact shares by heading, as fractions in text: `"5/2"`."""

    child = serializers.CharField()


class Reach(Shape):
    """How far ahead: `at_least[k - 1]`, the share of solved plans whose last k moves are shortest.

    Null where fewer than five plans can tell; `reach`: the most k of one half or more.
    """

    class Meta:
        dataclass = reach.Reach


class Account(Shape):
    """All that the table charged a member over the weeks of the review, and nothing twice."""

    points = Share()
    unsolved = serializers.DictField(
        child=serializers.IntegerField(), help_text="Plans by kind of slip."
    )
    exact_by_length = serializers.SerializerMethodField(
        help_text="By best length: exact plans, all plans."
    )
    reach = Reach()

    class Meta:
        dataclass = account.Account
        exclude = ("tallies", "by_length")

    @extend_schema_field(
        {"type": "object", "additionalProperties": {"type": "array", "items": {"type": "integer"}}}
    )
    def get_exact_by_length(self, one: account.Account) -> dict[str, list[int]]:
        """Lists, because the lengths are not known beforehand."""
        return {str(best): [t.answered, t.called] for best, t in one.by_length.items()}


class SavedBy(Pair):
    """What one colour more would have saved, moves of the best cross."""

    colour = serializers.ChoiceField(choices=COLOURS)
    moves = serializers.IntegerField()


class OutlookHabits(Shape):
    """What a member's plans leave beyond their crosses: noted, in no table.

    Sums over `solved` plans (`left`, `least`: moves to the nearest first pair) and over
    `crosses`, solved or not (`saved`). `awaited`: plans not looked at yet.
    """

    saved = SavedBy(many=True)

    class Meta:
        dataclass = outlooks.OutlookHabits
        inner = (Tally,)


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
    account = Account()
    other_losses = OtherLoss(many=True)
    outlook = OutlookHabits()
    examples = Example(many=True)
    catches_up = CatchingUp()

    class Meta:
        dataclass = reviews.MemberReview
        ref_name = "Progress"
        inner = (Week, Trend)
        exclude = ("membership", "lines", "first_plans", "group")
        extra_kwargs = {
            "strongest": {
                "help_text": "Hardly a move is lost any more: 4 of 5 plans, of at least 20, are "
                "exactly the best, and no heading of lost moves comes first."
            },
            "trend": {"help_text": "Null before six weeks with plans: too early."},
        }
