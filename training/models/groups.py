"""Groups of a club, and over which times somebody belongs to one."""

from __future__ import annotations

from datetime import datetime
from typing import Self

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower

from training.models.clubs import Club
from training.models.members import Membership


class GroupQuerySet(models.QuerySet["Group"]):
    def of_club(self, club: Club | int) -> Self:
        return self.filter(club=club)

    def in_use(self) -> Self:
        """Groups that have not been put away."""
        return self.filter(archived_at__isnull=True)


class Group(models.Model):
    """Members who train together, such as a level.

    ``archived_at``: since when it is put away; its old tables stay.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="groups")
    name = models.CharField(max_length=40)
    archived_at = models.DateTimeField(null=True, blank=True)

    objects = GroupQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint("club", Lower("name"), name="group_name_once_a_club")
        ]

    def __str__(self) -> str:
        return self.name


class GroupTimeQuerySet(models.QuerySet["GroupTime"]):
    def at(self, instant: datetime) -> Self:
        """The times in which an instant lies."""
        return self.filter(begins_at__lte=instant).ending_after(instant)

    def ending_after(self, instant: datetime) -> Self:
        return self.filter(Q(ends_at__isnull=True) | Q(ends_at__gt=instant))


class GroupTime(models.Model):
    """A time over which a membership belongs to a group. Two of one membership never overlap.

    From a midnight of the club's to another; ``ends_at`` None: until further notice.
    """

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="group_times")
    group = models.ForeignKey(Group, on_delete=models.RESTRICT, related_name="times")
    begins_at = models.DateTimeField()
    ends_at = models.DateTimeField(null=True, blank=True)

    objects = GroupTimeQuerySet.as_manager()

    class Meta:
        ordering = ["begins_at"]
        # That none overlaps another is held by the database too: see the migration that made it.
        constraints = [
            models.UniqueConstraint(
                fields=["membership"],
                condition=Q(ends_at__isnull=True),
                name="one_running_group_time",
            ),
            models.UniqueConstraint(
                fields=["membership", "begins_at"], name="group_time_begins_once"
            ),
            models.CheckConstraint(
                condition=Q(ends_at__isnull=True) | Q(ends_at__gt=F("begins_at")),
                name="group_time_ends_after_it_begins",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.membership_id} in {self.group_id}"

    def holds(self, opens_at: datetime, due_at: datetime) -> bool:
        """Whether a set lies wholly inside, by when it was to close."""
        return self.begins_at <= opens_at and (self.ends_at is None or due_at <= self.ends_at)

    def touches(self, opens_at: datetime, due_at: datetime) -> bool:
        """Whether a set is open within, at least for a while."""
        return self.begins_at < due_at and (self.ends_at is None or opens_at < self.ends_at)
