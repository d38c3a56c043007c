"""On the way to a plan: how a scramble was inspected, what is written, a cube that differs."""

from __future__ import annotations

from typing import Self

from django.db import models
from django.db.models import Q
from django.utils import timezone

from training.models.clubs import Club
from training.models.fields import OneOf
from training.models.members import Inspects, Membership
from training.models.sets import Scramble


class Inspection(models.Model):
    """How a member inspected one scramble, by the server's clock.

    ``begun_at`` and ``ended_at``: when the request of the tap came in. ``begun_trip``
    and ``ended_trip``: how long that request took there and back, in milliseconds, as
    the device measured it; None where it did not say. What follows from them, says
    :mod:`training.inspection`. ``looked_again_at``: the first second look.
    """

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="inspections")
    scramble = models.ForeignKey(Scramble, on_delete=models.CASCADE, related_name="inspections")
    chosen = OneOf(max_length=5, choices=Inspects, default=Inspects.OWN)
    begun_at = models.DateTimeField()
    begun_trip = models.PositiveIntegerField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_trip = models.PositiveIntegerField(null=True, blank=True)
    looked_again_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["begun_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["membership", "scramble"], name="one_inspection_a_scramble"
            ),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=False) | Q(ended_trip__isnull=True),
                name="no_trip_without_an_end",
            ),
        ]

    def __str__(self) -> str:
        return f"inspection of scramble {self.scramble_id} by {self.membership_id}"


class Draft(models.Model):
    """What a member has written for a scramble and not handed in yet. Gone with the hand-in.

    ``choice``: a :class:`training.entry.Choice`. ``held``: colours of top and front, where that is
    told beside the plan. ``key``: under which it will be handed in.
    """

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="drafts")
    scramble = models.ForeignKey(Scramble, on_delete=models.CASCADE, related_name="drafts")
    written = models.TextField(blank=True, default="")
    pair_written = models.TextField(blank=True, default="")
    choice = models.CharField(max_length=7, default="moves")
    lower_case_meant = models.BooleanField(default=False)
    held = models.CharField(max_length=13, blank=True, default="")
    key = models.UUIDField()
    written_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["written_at"]
        constraints = [
            models.UniqueConstraint(fields=["membership", "scramble"], name="one_draft_a_scramble"),
        ]

    def __str__(self) -> str:
        return f"draft for scramble {self.scramble_id} by {self.membership_id}"


class CubeNoteQuerySet(models.QuerySet["CubeNote"]):
    def of_club(self, club: Club | int) -> Self:
        return self.filter(membership__club=club)


class CubeNote(models.Model):
    """That a member's cube did not look like the picture, scrambled twice: told to the coach."""

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="cube_notes")
    scramble = models.ForeignKey(Scramble, on_delete=models.CASCADE, related_name="cube_notes")
    told_at = models.DateTimeField(default=timezone.now)

    objects = CubeNoteQuerySet.as_manager()

    class Meta:
        ordering = ["-told_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["membership", "scramble"], name="one_cube_note_a_scramble"
            ),
        ]

    def __str__(self) -> str:
        return f"cube of {self.membership_id} differs at scramble {self.scramble_id}"
