"""Over which times the tables charge a membership."""

from __future__ import annotations

from datetime import datetime
from typing import Self

from django.db import models
from django.db.models import F, Q

from training.models.clubs import Club
from training.models.members import Membership


class CountingPeriodQuerySet(models.QuerySet["CountingPeriod"]):
    def of_club(self, club: Club | int) -> Self:
        return self.filter(membership__club=club)

    def running(self) -> Self:
        """Periods without an end: of whoever counts until further notice."""
        return self.filter(ends_at__isnull=True)

    def not_left(self) -> Self:
        """Periods of which a set that had opened may still close inside."""
        return self.filter(left_at__isnull=True)


class CountingPeriod(models.Model):
    """A time over which a membership counts. Two of one membership never overlap.

    ``ends_at``: sets that open from then on are outside; None while it runs.
    ``left_at``: sets that close later are outside too, as when an account is
    archived; None for who stopped competing, whose open sets run on.
    ``estimated``: the end is not known, and was put where the last plan is.
    """

    membership = models.ForeignKey(
        Membership, on_delete=models.CASCADE, related_name="counting_periods"
    )
    begins_at = models.DateTimeField()
    ends_at = models.DateTimeField(null=True, blank=True)
    left_at = models.DateTimeField(null=True, blank=True)
    estimated = models.BooleanField(default=False)

    objects = CountingPeriodQuerySet.as_manager()

    class Meta:
        ordering = ["begins_at"]
        # That none overlaps another is held by the database too: see the migration that made it.
        constraints = [
            models.UniqueConstraint(
                fields=["membership"],
                condition=Q(ends_at__isnull=True),
                name="one_running_period",
            ),
            models.UniqueConstraint(fields=["membership", "begins_at"], name="period_begins_once"),
            models.CheckConstraint(
                condition=Q(ends_at__isnull=True) | Q(ends_at__gt=F("begins_at")),
                name="period_ends_after_it_begins",
            ),
            models.CheckConstraint(
                condition=Q(left_at__isnull=True)
                | Q(ends_at__isnull=False, left_at__gte=F("ends_at")),
                name="left_when_or_after_it_ends",
            ),
        ]

    def __str__(self) -> str:
        return f"period {self.pk} of {self.membership_id}"

    def holds(self, opens_at: datetime, closes_at: datetime) -> bool:
        """Whether a set lies wholly inside."""
        return (
            self.begins_at <= opens_at
            and (self.ends_at is None or opens_at < self.ends_at)
            and (self.left_at is None or closes_at <= self.left_at)
        )

    def touches(self, opens_at: datetime, closes_at: datetime) -> bool:
        """Whether a set is open within, at least for a while."""
        return (
            self.begins_at < closes_at
            and (self.ends_at is None or opens_at < self.ends_at)
            and (self.left_at is None or opens_at < self.left_at)
        )
