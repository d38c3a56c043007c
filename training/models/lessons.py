"""Lessons that were held without a set: on a kind of slip, undone moves, the choice of colour."""

from __future__ import annotations

from datetime import date
from typing import Self

from django.db import models
from django.utils import timezone

from training.models.clubs import Club
from training.models.members import Membership


class TaughtLessonQuerySet(models.QuerySet["TaughtLesson"]):
    def of_club(self, club: Club) -> Self:
        return self.filter(club=club)

    def since(self, day: date) -> Self:
        return self.filter(day__gte=day)


class TaughtLesson(models.Model):
    """A lesson on a habit, as the coach noted it: what it was about, when, and who was taught.

    A lesson on an idea needs no such note: its picked set is one. ``members``:
    those of the group at that moment; who joins it later was not taught.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="taught_lessons")
    code = models.CharField(max_length=20)
    day = models.DateField()
    noted_at = models.DateTimeField(default=timezone.now)
    members = models.ManyToManyField(Membership, related_name="taught_lessons")

    objects = TaughtLessonQuerySet.as_manager()

    class Meta:
        ordering = ["-day", "-pk"]
        indexes = [models.Index(fields=["club", "-day"], name="taught_lesson_of_club")]

    def __str__(self) -> str:
        return f"{self.code} on {self.day}"
