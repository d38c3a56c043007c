"""Plans handed in, and what the solver said of them."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from training.models.clubs import Membership
from training.models.people import Person
from training.models.sets import Scramble

MOST_ATTEMPTS = 3
"""How often a worker may start on a plan before a person has to look at it."""


class PlanKind(models.TextChoices):
    MOVES = "moves", "moves"
    NO_PLAN = "no_plan", "no plan"


class PlanStatus(models.TextChoices):
    WAITING = "waiting", "being checked"
    CHECKED = "checked", "checked"
    FAILED = "failed", "could not be checked"
    WITHDRAWN = "withdrawn", "withdrawn"


class Plan(models.Model):
    """A member's one final plan for a scramble. While it waits, the row is the queue entry."""

    scramble = models.ForeignKey(Scramble, on_delete=models.CASCADE, related_name="plans")
    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="plans")
    kind = models.CharField(max_length=7, choices=PlanKind, default=PlanKind.MOVES)
    written = models.TextField(blank=True)
    canonical = models.CharField(max_length=400, blank=True)
    key = models.UUIDField()
    handed_in_at = models.DateTimeField(default=timezone.now)

    status = models.CharField(max_length=9, choices=PlanStatus, default=PlanStatus.WAITING)
    attempts = models.PositiveSmallIntegerField(default=0)
    rung_at = models.DateTimeField(default=timezone.now)
    failure_reason = models.CharField(max_length=200, blank=True)
    rules_version = models.PositiveSmallIntegerField(null=True, blank=True)

    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.SET_NULL, related_name="plans_withdrawn"
    )
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["handed_in_at"]
        indexes = [
            models.Index(
                fields=["rung_at"], condition=Q(status="waiting"), name="plan_waiting_by_bell"
            ),
            models.Index(fields=["membership", "handed_in_at"], name="plan_of_member"),
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


class Verdict(models.Model):
    """What a plan is worth, by one version of the rules; the ``report`` tells the rest."""

    plan = models.OneToOneField(Plan, on_delete=models.CASCADE, related_name="verdict")
    solved = models.BooleanField()
    colour = models.CharField(max_length=6)
    moves = models.PositiveSmallIntegerField()
    best = models.PositiveSmallIntegerField()
    excess = models.PositiveSmallIntegerField(null=True)
    colour_choice = models.PositiveSmallIntegerField(null=True)
    distance_left = models.PositiveSmallIntegerField()
    report = models.JSONField()
    rules_version = models.PositiveSmallIntegerField()
    checked_at = models.DateTimeField(default=timezone.now)

    class Meta:
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
