"""Corrections of results: entries that are never changed nor deleted, but for an erase."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.clubs import Club
from training.models.fields import OneOf
from training.models.members import Membership
from training.models.plans import Plan
from training.models.sets import Scramble, ScrambleSet


class Corrected(models.TextChoices):
    """What an entry corrects."""

    PLAN_WITHDRAWN = "plan_withdrawn", _("plan withdrawn")
    ROTATION = "rotation", _("forgotten rotation accepted")
    TIME_EXCUSED = "time_excused", _("time excused")
    SCRAMBLE_VOID = "scramble_void", _("scramble taken out")
    SET_OUT = "set_out", _("set taken out")
    SPARE = "spare", _("spare put in")
    KEPT_OPEN = "kept_open", _("kept open longer")


OF_PLANS = (Corrected.PLAN_WITHDRAWN, Corrected.ROTATION, Corrected.TIME_EXCUSED)


class CorrectionQuerySet(models.QuerySet["Correction"]):
    def of_club(self, club: Club | int) -> Self:
        return self.filter(club=club)

    def in_effect(self) -> Self:
        """Entries that make the state: no undoing, and not undone."""
        return self.filter(in_force=True, undoes__isnull=True)

    def about_plans(self, plans: Iterable[Plan]) -> Self:
        return self.filter(plan__in=list(plans))


class Correction(models.Model):
    """An entry: what was corrected, or the undoing of an earlier entry.

    ``undoes``: the entry that this one takes back; it corrects the same thing of
    the same kind. ``in_force``: no entry in force undoes it. ``before`` and
    ``after``: the figures that it changed. ``own_table``: made by a coach who
    is ranked in the table, because there was no other.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="corrections")
    kind = OneOf(max_length=14, choices=Corrected)
    scramble_set = models.ForeignKey(
        ScrambleSet, on_delete=models.CASCADE, related_name="corrections"
    )
    scramble = models.ForeignKey(
        Scramble, null=True, on_delete=models.CASCADE, related_name="corrections"
    )
    plan = models.ForeignKey(Plan, null=True, on_delete=models.CASCADE, related_name="corrections")
    undoes = models.OneToOneField(
        "self", null=True, on_delete=models.CASCADE, related_name="undone_by"
    )
    in_force = models.BooleanField(default=True)
    by = models.ForeignKey(
        Membership, null=True, on_delete=models.CASCADE, related_name="corrections_made"
    )
    done_at = models.DateTimeField(default=timezone.now)
    reason = models.CharField(max_length=200, blank=True)
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)
    own_table = models.BooleanField(default=False)

    objects = CorrectionQuerySet.as_manager()

    class Meta:
        ordering = ["-done_at", "-pk"]
        indexes = [models.Index(fields=["club", "-done_at"], name="correction_of_club")]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "plan"],
                condition=Q(in_force=True, undoes__isnull=True, plan__isnull=False),
                name="plan_corrected_once",
            ),
            models.UniqueConstraint(
                fields=["kind", "scramble"],
                condition=Q(
                    in_force=True, undoes__isnull=True, kind__in=["scramble_void", "spare"]
                ),
                name="scramble_taken_out_once",
            ),
            models.UniqueConstraint(
                fields=["kind", "scramble_set"],
                condition=Q(in_force=True, undoes__isnull=True, kind__in=["set_out", "kept_open"]),
                name="set_taken_out_once",
            ),
            models.CheckConstraint(
                condition=Q(
                    kind__in=["set_out", "kept_open"], scramble__isnull=True, plan__isnull=True
                )
                | Q(
                    kind__in=["scramble_void", "spare"],
                    scramble__isnull=False,
                    plan__isnull=True,
                )
                | Q(
                    kind__in=["plan_withdrawn", "rotation", "time_excused"],
                    scramble__isnull=False,
                    plan__isnull=False,
                ),
                name="correction_of_its_kind",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"
