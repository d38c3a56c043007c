"""Summaries of verdicts, kept for speed. The verdicts are the truth; these follow from them."""

from __future__ import annotations

from typing import Self

from django.db import models
from django.db.models import F, Q

from training.models.members import Membership
from training.models.plans import Plan
from training.models.sets import Scramble, ScrambleSet


class SetSummaryQuerySet(models.QuerySet["SetSummary"]):
    def counting(self) -> Self:
        """Summaries that enter the totals of their members."""
        return self.filter(counts=True)


class SetSummary(models.Model):
    """What one member's checked plans of one set came to.

    ``counts``: whether it enters the member's totals. ``lost``: moves over the
    best, of solved plans; ``points``: as tables count them. ``crosses``: a line
    for each plan, as :func:`training.account.to_json` writes it: what an account
    needs, without reading reports. Handling habits are counts of plans.
    """

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="summaries")
    scramble_set = models.ForeignKey(
        ScrambleSet, on_delete=models.CASCADE, related_name="summaries"
    )
    counts = models.BooleanField(default=True)
    plans = models.PositiveSmallIntegerField()
    solved = models.PositiveSmallIntegerField()
    exact = models.PositiveSmallIntegerField()
    lost = models.PositiveSmallIntegerField()
    points = models.PositiveSmallIntegerField(default=0)
    crosses = models.JSONField(default=list)
    ends_on_bottom = models.PositiveSmallIntegerField()
    turns_cube_late = models.PositiveSmallIntegerField()
    back_turns = models.PositiveSmallIntegerField()
    half_turns = models.PositiveSmallIntegerField()

    objects = SetSummaryQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["membership", "scramble_set"], name="one_summary_a_set"
            ),
            models.CheckConstraint(
                condition=Q(solved__lte=F("plans"), exact__lte=F("solved")),
                name="summary_adds_up",
            ),
        ]

    def __str__(self) -> str:
        return f"summary of {self.membership_id} in set {self.scramble_set_id}"


class ScrambleSummary(models.Model):
    """What all checked plans of one scramble came to. ``lost`` is of solved plans."""

    scramble = models.OneToOneField(Scramble, on_delete=models.CASCADE, related_name="summary")
    plans = models.PositiveIntegerField()
    exact = models.PositiveIntegerField()
    lost = models.PositiveIntegerField()
    best = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(exact__lte=F("plans"), plans__gt=0), name="scramble_summary_adds_up"
            ),
        ]

    def __str__(self) -> str:
        return f"summary of scramble {self.scramble_id}"


class TechniqueCountQuerySet(models.QuerySet["TechniqueCount"]):
    def counting(self) -> Self:
        """Counts that enter the totals of their members."""
        return self.filter(counts=True)


class TechniqueCount(models.Model):
    """One technique (or residue of blame) in one member's plans of one set.

    ``lost`` is the sum of exact shares of blame, rounded to a float here and
    nowhere before. ``counts``: as in :class:`SetSummary`.
    """

    membership = models.ForeignKey(
        Membership, on_delete=models.CASCADE, related_name="technique_counts"
    )
    scramble_set = models.ForeignKey(
        ScrambleSet, on_delete=models.CASCADE, related_name="technique_counts"
    )
    code = models.CharField(max_length=20)
    counts = models.BooleanField(default=True)
    called = models.PositiveSmallIntegerField()
    answered = models.PositiveSmallIntegerField()
    lost = models.FloatField()

    objects = TechniqueCountQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["membership", "scramble_set", "code"], name="one_count_a_technique"
            ),
            models.CheckConstraint(
                condition=Q(answered__lte=F("called")), name="answered_of_called"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} of {self.membership_id} in set {self.scramble_set_id}"


class PracticeDue(models.Model):
    """A technique that a member missed, and when it is to be practised again.

    ``step``: how many times it was answered on its day since the last miss, at
    most 2: it says when it comes back. ``last``: the latest five positions that
    called for it, the newest at the end, ``1`` for one that was answered.
    ``missed_plan``: the plan that missed it, whose cross comes back in another shape.
    """

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="due")
    code = models.CharField(max_length=20)
    step = models.PositiveSmallIntegerField(default=0)
    due_on = models.DateField()
    last = models.CharField(max_length=5, default="0")
    missed_plan = models.ForeignKey(Plan, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        ordering = ["due_on", "code"]
        constraints = [
            models.UniqueConstraint(fields=["membership", "code"], name="due_once_a_technique"),
            models.CheckConstraint(condition=Q(step__lte=2), name="three_steps"),
        ]

    def __str__(self) -> str:
        return f"{self.code} due on {self.due_on}"
