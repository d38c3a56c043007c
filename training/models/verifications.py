"""Runs in which every verdict and summary is recomputed, and where they differed."""

from __future__ import annotations

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.fields import OneOf


class Verification(models.Model):
    """One run over all plans, then all sets. What is broken off goes on from what stands here.

    ``plans_through``, ``sets_through``: the last id looked at. ``older``: verdicts by older
    rules, which are not compared: checking them anew is another command's work.
    """

    began_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True)
    rules_version = models.PositiveSmallIntegerField()
    plans_through = models.BigIntegerField(default=0)
    sets_through = models.BigIntegerField(default=0)
    plans = models.PositiveBigIntegerField(default=0)
    sets = models.PositiveBigIntegerField(default=0)
    older = models.PositiveBigIntegerField(default=0)

    def __str__(self) -> str:
        return f"verification {self.pk}"


class Derived(models.TextChoices):
    """What can differ from the plans."""

    VERDICT = "verdict", _("verdict")
    NO_VERDICT = "no_verdict", _("verdict missing")
    STRAY_VERDICT = "stray_verdict", _("verdict on a plan that was never checked")
    OUTLOOK = "outlook", _("what a plan leaves")
    RULES = "rules", _("rules of plan and verdict")
    TIME = "time", _("whether a plan is out of time")
    SUMMARY = "summary", _("summary of a member in a set")
    CORRECTION = "correction", _("a state that no correction made")
    SCRAMBLE = "scramble", _("summary of a scramble")


class Difference(models.Model):
    """Something derived that is not what the plans say. ``about``: which, by its numbers.

    ``of_plan`` and ``of_set`` are ids and no keys: they may be gone when somebody reads this.
    """

    verification = models.ForeignKey(
        Verification, on_delete=models.CASCADE, related_name="differences"
    )
    kind = OneOf(max_length=13, choices=Derived)
    of_plan = models.BigIntegerField(null=True)
    of_set = models.BigIntegerField()
    about = models.CharField(max_length=200)
    repaired_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"{self.kind}: {self.about}"
