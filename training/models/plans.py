"""Plans handed in, and what the solver said of them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.attempts import Inspection
from training.models.compact import CompactJson
from training.models.fields import OneOf
from training.models.members import Membership, Standing
from training.models.sets import Scramble, ScrambleSet

MOST_ATTEMPTS = 3
"""How often a worker may start on a plan before a person has to look at it."""


class PlanKind(models.TextChoices):
    MOVES = "moves", _("moves")
    NO_PLAN = "no_plan", _("no plan")


class PlanStatus(models.TextChoices):
    WAITING = "waiting", _("being checked")
    CHECKED = "checked", _("checked")
    FAILED = "failed", _("could not be checked")
    WITHDRAWN = "withdrawn", _("withdrawn")


PENDING = (PlanStatus.WAITING, PlanStatus.FAILED)
"""A plan without a verdict that may still get one; nothing is counted of it yet."""


class PlanQuerySet(models.QuerySet["Plan"]):
    def waiting(self) -> Self:
        return self.filter(status=PlanStatus.WAITING)

    def checked(self) -> Self:
        return self.filter(status=PlanStatus.CHECKED)

    def failed(self) -> Self:
        return self.filter(status=PlanStatus.FAILED)

    def for_counting_scrambles(self) -> Self:
        """Plans for scrambles that no correction has taken out."""
        return self.filter(scramble__void=False)

    def pending(self) -> Self:
        return self.filter(status__in=PENDING)

    def with_words(self) -> Self:
        """Plans of which more is left than the numbers that tables need."""
        return self.exclude(membership__standing=Standing.FORMER)

    def with_attempts_left(self) -> Self:
        return self.filter(attempts__lt=MOST_ATTEMPTS)

    def out_of_attempts(self) -> Self:
        return self.filter(attempts__gte=MOST_ATTEMPTS)


class Plan(models.Model):
    """A member's one final plan for a scramble. While it waits, the row is the queue entry."""

    scramble = models.ForeignKey(Scramble, on_delete=models.CASCADE, related_name="plans")
    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="plans")
    kind = OneOf(max_length=7, choices=PlanKind, default=PlanKind.MOVES)
    written = models.TextField(blank=True)
    canonical = models.CharField(max_length=400, blank=True)
    # The moves for the first pair, if the member wrote them too: noted, in no table.
    pair_written = models.TextField(blank=True, default="")
    pair_canonical = models.CharField(max_length=400, blank=True, default="")
    # How it was held at the start, where that is told beside the plan: colours of top and front.
    held = models.CharField(max_length=13, blank=True, default="")
    inspection = models.OneToOneField(
        Inspection, null=True, blank=True, on_delete=models.SET_NULL, related_name="plan"
    )
    # A set that is timed only charges the cap for it, whatever the verdict says.
    out_of_time = models.BooleanField(default=False)
    key = models.UUIDField()
    handed_in_at = models.DateTimeField(default=timezone.now)

    status = OneOf(max_length=9, choices=PlanStatus, default=PlanStatus.WAITING)
    attempts = models.PositiveSmallIntegerField(default=0)
    rung_at = models.DateTimeField(default=timezone.now)
    failure_reason = models.CharField(max_length=200, blank=True)
    rules_version = models.PositiveSmallIntegerField(null=True, blank=True)

    objects = PlanQuerySet.as_manager()

    class Meta:
        ordering = ["handed_in_at"]
        indexes = [
            models.Index(
                fields=["rung_at"], condition=Q(status="waiting"), name="plan_waiting_by_bell"
            ),
            models.Index(fields=["membership", "handed_in_at"], name="plan_of_member"),
            # A table takes a whole club's plans: from the index alone, and see `Verdict`.
            models.Index(
                fields=["scramble", "membership", "status", "kind", "out_of_time", "id"],
                name="plan_in_tables",
            ),
        ]
        constraints = [
            models.UniqueConstraint(fields=["scramble", "membership"], name="one_plan_a_scramble"),
            models.UniqueConstraint(fields=["membership", "key"], name="one_plan_a_key"),
            models.CheckConstraint(
                condition=Q(attempts__lte=MOST_ATTEMPTS), name="attempts_are_capped"
            ),
            models.CheckConstraint(
                condition=~Q(status="checked") | Q(rules_version__isnull=False),
                name="checked_by_known_rules",
            ),
            models.CheckConstraint(
                condition=~Q(status="failed") | ~Q(failure_reason=""),
                name="failed_with_a_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"plan {self.pk}"


class VerdictQuerySet(models.QuerySet["Verdict"]):
    def counting(self) -> Self:
        """Verdicts of plans that count: not of withdrawn ones, nor for a void scramble."""
        return self.filter(plan__status=PlanStatus.CHECKED, plan__scramble__void=False)

    def with_words(self) -> Self:
        """Verdicts whose plan can be read, so checked again."""
        return self.exclude(plan__membership__standing=Standing.FORMER)

    def in_sets(self, sets: Iterable[ScrambleSet]) -> Self:
        return self.filter(plan__scramble__scramble_set__in=sets)


class Verdict(models.Model):
    """What a plan is worth, by one version of the rules; the ``report`` tells the rest.

    ``techniques``: ideas called for and answered, and the blame, once more, for what is asked
    of many plans at once.
    """

    plan = models.OneToOneField(Plan, on_delete=models.CASCADE, related_name="verdict")
    solved = models.BooleanField()
    colour = models.CharField(max_length=6)
    moves = models.PositiveSmallIntegerField()
    best = models.PositiveSmallIntegerField()
    excess = models.PositiveSmallIntegerField(null=True)
    colour_choice = models.PositiveSmallIntegerField(null=True)
    distance_left = models.PositiveSmallIntegerField()
    techniques = models.JSONField(null=True)
    report = CompactJson()
    rules_version = models.PositiveSmallIntegerField()
    checked_at = models.DateTimeField(default=timezone.now)

    objects = VerdictQuerySet.as_manager()

    class Meta:
        indexes = [
            # What tables and weekly means need of a verdict, without its report beside it.
            models.Index(
                fields=["plan", "solved", "excess", "moves", "best"], name="verdict_in_tables"
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(solved=True, excess__isnull=False, distance_left=0)
                | Q(solved=False, excess__isnull=True),
                name="excess_only_when_solved",
            ),
            models.CheckConstraint(
                condition=Q(excess__isnull=True) | Q(moves=F("best") + F("excess")),
                name="moves_are_best_and_excess",
            ),
            models.CheckConstraint(condition=Q(best__lte=8), name="no_cross_needs_nine"),
        ]

    def __str__(self) -> str:
        return f"verdict on plan {self.plan_id}"


class Heartbeat(models.Model):
    """When a part of the site that works out of sight last showed that it lives."""

    name = models.CharField(max_length=20, unique=True)
    beaten_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name
