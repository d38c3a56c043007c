"""What a plan leaves beyond its cross, made after its verdict."""

from __future__ import annotations

from typing import Self

from django.db import models

from solverworker.outlook import OUTLOOK_VERSION
from training.models.compact import CompactJson
from training.models.plans import Plan

TO_BE_MADE = 0
"""The version of an outlook that nobody has made yet."""


class OutlookQuerySet(models.QuerySet["Outlook"]):
    def to_be_made(self) -> Self:
        """Those of no version yet, and those of an older one."""
        return self.filter(version__lt=OUTLOOK_VERSION)


class Outlook(models.Model):
    """The row comes with the verdict; while it is to be made it is the queue entry.

    ``facts``: as :class:`solverworker.outlook.PlanOutlook` writes itself; None
    until they are made, and of a plan that cannot be read.
    """

    plan = models.OneToOneField(Plan, on_delete=models.CASCADE, related_name="outlook")
    version = models.PositiveSmallIntegerField(default=TO_BE_MADE)
    facts = CompactJson(null=True)

    objects = OutlookQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["version", "plan"], name="outlook_to_be_made")]

    def __str__(self) -> str:
        return f"outlook of plan {self.plan_id}"
