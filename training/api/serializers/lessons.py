"""What a coach teaches next: the evidence for a lesson, what changed since, who improved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from solverworker import report
from training import lesson_effect
from training.api.serializers.reviews import Interval, Tally
from training.api.serializers.sets import SetHead
from training.api.serializers.shape import Shape
from training.improving import Change, IdeaChange
from training.lesson_effect import LessonChange, LessonSaid
from training.selectors import (
    given_lessons,
    group_reviews,
    habit_lessons,
    improvements,
    lesson_changes,
    lesson_crosses,
    lessons,
    reviews,
)

CODES = (*reviews.TECHNIQUES, *group_reviews.HABITS)


class ModelPlan(Shape):
    """A plan that shows the idea: `answered` or `used` by an exact plan, or it `did_without`."""

    class Meta:
        dataclass = lesson_crosses.ShownPlan
        exclude = ("report",)


class ShortestWay(Shape):
    """A shortest way with the idea; `ideas`: the turns, from 0, in which each happens."""

    ideas = serializers.SerializerMethodField()

    class Meta:
        dataclass = report.ShortestSolution
        ref_name = "WayWithIdeas"

    @extend_schema_field(
        {"type": "object", "additionalProperties": {"type": "array", "items": {"type": "integer"}}}
    )
    def get_ideas(self, one: report.ShortestSolution) -> dict[str, list[int]]:
        """As in a verdict's report."""
        return {idea.technique: list(idea.turns) for idea in one.ideas}


class ShownWay(Shape):
    """Where no exact plan of the group has the idea. `after`: the moves of a plan before it."""

    way = ShortestWay()

    class Meta:
        dataclass = lesson_crosses.ShownWay


class CostlyScramble(Shape):
    """A scramble of the group's own on which the idea cost most."""

    set = SetHead(source="head")

    class Meta:
        dataclass = lesson_crosses.CostlyScramble
        inner = (ModelPlan, ShownWay)
        exclude = ("head",)


class BeforeAfter(Shape):
    """Opportunities of `members` who had some both before a lesson and since."""

    members = serializers.IntegerField()
    before = Tally()
    after = Tally()

    class Meta:
        dataclass = lesson_effect.BeforeAfter


class Changed(Shape):
    """How rates changed, from -1 to 1; `difference`: of what was taught less what was not."""

    class Meta:
        dataclass = LessonChange
        inner = (Interval,)


class LessonLooked(Shape):
    """What random sets say of the time since a lesson.

    Of an idea `answered` of `called`; of a habit plans without it, of all. `said` is all that may
    be said; `change` is null where it cannot be told or there is too little. `did`, `did_not`:
    who handed in for the lesson's set, and who did not, which proves nothing.
    """

    taught = BeforeAfter()
    said = serializers.SerializerMethodField()
    change = serializers.SerializerMethodField()
    did = BeforeAfter(allow_null=True)
    did_not = BeforeAfter(allow_null=True)

    class Meta:
        dataclass = lesson_changes.LessonLooked

    @extend_schema_field(serializers.ChoiceField(choices=[one.value for one in LessonSaid]))
    def get_said(self, one: lesson_changes.LessonLooked) -> str:
        """The word alone."""
        change = one.change
        return (change if isinstance(change, LessonSaid) else change.said).value

    @extend_schema_field(Changed(allow_null=True))
    def get_change(self, one: lesson_changes.LessonLooked) -> dict[str, Any] | None:
        """The numbers behind it."""
        return Changed(one.change).data if isinstance(one.change, LessonChange) else None


class GivenLesson(Shape):
    """A lesson that was given: by a set of the `title`, or held without one."""

    code = serializers.ChoiceField(choices=CODES)

    class Meta:
        dataclass = given_lessons.GivenLesson
        exclude = ("members", "set_id", "note_id")


class Homework(Shape):
    """A picked set given for the idea. `looked` is null until it has opened.

    `sharing`: other lessons of the same weeks, to which a change may be due as well.
    """

    set = SetHead(source="head")

    class Meta:
        dataclass = lessons.Homework
        inner = (Tally, LessonLooked, GivenLesson)
        exclude = ("head",)


class IdeaLesson(Shape):
    """The evidence for one idea as the next lesson, and what changed since it was given."""

    code = serializers.ChoiceField(choices=reviews.TECHNIQUES)

    class Meta:
        dataclass = lessons.Lesson
        inner = (CostlyScramble, Homework)


class Costing(Shape):
    """What a habit cost one member, of all points."""

    class Meta:
        dataclass = habit_lessons.Costing


class HabitPlan(Shape):
    """A plan that shows a habit. `lost`: moves, of a solved one."""

    set = SetHead(source="head")

    class Meta:
        dataclass = habit_lessons.HabitPlan
        exclude = ("head",)


class HeldLesson(Shape):
    """A lesson on the habit that a coach noted, and what changed since."""

    class Meta:
        dataclass = habit_lessons.HeldLesson
        inner = (LessonLooked, GivenLesson)


class HabitLesson(Shape):
    """The evidence for a slip, undone moves or the choice of colour as the next lesson."""

    code = serializers.ChoiceField(choices=group_reviews.HABITS)

    class Meta:
        dataclass = habit_lessons.HabitLesson
        inner = (Costing, HabitPlan, HeldLesson)
        exclude = ("groups",)


class Improvement(Shape):
    """What somebody improved in: an idea, or points against the others (then `code` is null).

    `before`, `after`: of an idea answered of called; of points the mean a plan beside the others'.
    """

    code = serializers.SerializerMethodField()
    answered_before = serializers.SerializerMethodField()
    answered_after = serializers.SerializerMethodField()
    points_before = serializers.SerializerMethodField()
    points_after = serializers.SerializerMethodField()

    class Meta:
        dataclass = improvements.Improved
        exclude = ("change",)

    @extend_schema_field(serializers.ChoiceField(choices=reviews.TECHNIQUES, allow_null=True))
    def get_code(self, one: improvements.Improved) -> str | None:
        """The idea."""
        return one.change.code if isinstance(one.change, IdeaChange) else None

    @extend_schema_field(Tally(allow_null=True))
    def get_answered_before(self, one: improvements.Improved) -> dict[str, Any] | None:
        """In the eight weeks before."""
        return _tally(one.change, "before")

    @extend_schema_field(Tally(allow_null=True))
    def get_answered_after(self, one: improvements.Improved) -> dict[str, Any] | None:
        """In the last four weeks."""
        return _tally(one.change, "after")

    @extend_schema_field(serializers.FloatField(allow_null=True))
    def get_points_before(self, one: improvements.Improved) -> float | None:
        """In the eight weeks before."""
        return None if isinstance(one.change, IdeaChange) else _mean(one.change.before)

    @extend_schema_field(serializers.FloatField(allow_null=True))
    def get_points_after(self, one: improvements.Improved) -> float | None:
        """In the last four weeks."""
        return None if isinstance(one.change, IdeaChange) else _mean(one.change.after)


def _tally(change: Change, window: str) -> dict[str, Any] | None:
    return Tally(getattr(change, window)).data if isinstance(change, IdeaChange) else None


def _mean(differences: Sequence[float]) -> float:
    return sum(differences) / len(differences)
