"""Plans checked anew by newer rules, kept beside their verdicts until the switch."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils import timezone

from training.models.compact import CompactJson
from training.models.plans import Plan


class Recheck(models.Model):
    """What newer rules say of a plan. Nobody sees it before it becomes the verdict.

    ``changes``: the result differs from the verdict's (whether it is solved, of
    what colour, moves, best), not only what is told about it. ``trouble``: why
    the plan could not be checked anew; it then keeps its verdict.
    """

    plan = models.OneToOneField(Plan, on_delete=models.CASCADE, related_name="recheck")
    rules_version = models.PositiveSmallIntegerField()
    report = CompactJson(null=True)
    changes = models.BooleanField()
    trouble = models.CharField(max_length=200, blank=True)
    checked_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(report__isnull=True) ^ Q(trouble=""), name="rechecked_or_in_trouble"
            ),
        ]
        indexes = [models.Index(fields=["rules_version", "plan"], name="recheck_of_rules")]

    def __str__(self) -> str:
        return f"plan {self.plan_id} by rules {self.rules_version}"
