"""Clubs, who belongs to them and how they wish their days to run."""

from __future__ import annotations

from typing import Any

from django.db import models, transaction
from django.utils import timezone

from training.models.fields import OneOf
from training.models.people import languages, site_language
from training.models.settings import ClubSettings
from training.prepared import LARGE, Prepared


class Club(ClubSettings):
    """A club and its settings. ``language``: what it speaks unless a member chooses.

    Its sets issue themselves by its series; it begins with one, its daily set.
    """

    name = models.CharField(max_length=60)
    slug = models.SlugField(max_length=60, unique=True)
    language = OneOf(max_length=10, choices=languages, default=site_language)
    created_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return self.name

    @transaction.atomic
    def save(self, *args: Any, **kwargs: Any) -> None:
        """Store the club; a new one with its first series."""
        is_new = self._state.adding
        super().save(*args, **kwargs)
        if is_new:
            self.series.create()

    @property
    def first_series(self) -> Any:
        """The series that the club began with: its daily set. One query.

        A :class:`training.models.series.Series`, which stands above a club.
        """
        found = _first_series(self.pk)
        assert found, "a club has its first series for as long as it is there"
        found[0].club = self
        return found[0]


_first_series: Prepared[Any] = Prepared(lambda club: Club(pk=club).series.order_by("pk")[:1], LARGE)


class DayOff(models.Model):
    """A date without a set of any series, so that a holiday costs nobody anything."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="days_off")
    day = models.DateField()
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [models.UniqueConstraint(fields=["club", "day"], name="day_off_once")]

    def __str__(self) -> str:
        return f"{self.day}"
