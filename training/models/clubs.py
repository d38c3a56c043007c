"""Clubs, who belongs to them and how they wish their days to run."""

from __future__ import annotations

from datetime import time
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils import timezone


class Sight(models.TextChoices):
    """When something of a set opens to members: the answers, or the table."""

    OPEN = "open", "as soon as the set opens"
    OWN_PLAN = "own_plan", "once the own plan is in"
    CLOSING = "closing", "once the set has closed"
    COACHES = "coaches", "to coaches only"


class Spelling(models.TextChoices):
    CLUB = "club", "club spelling"
    STRICT = "strict", "strict WCA spelling"


def every_day() -> list[int]:
    """All seven weekdays, Monday = 0."""
    return list(range(7))


def white_only() -> list[str]:
    """The colour that most clubs start with."""
    return ["white"]


class Club(models.Model):
    """A club and the settings of its days."""

    name = models.CharField(max_length=60)
    slug = models.SlugField(max_length=60, unique=True)
    time_zone = models.CharField(max_length=64)
    created_at = models.DateTimeField(default=timezone.now)

    daily_scrambles = models.PositiveSmallIntegerField(
        default=5, validators=[MinValueValidator(1), MaxValueValidator(12)]
    )
    daily_weekdays = models.JSONField(default=every_day)
    daily_opens = models.TimeField(default=time(0, 0))
    daily_closes = models.TimeField(default=time(0, 0))
    colours = models.JSONField(default=white_only)
    spelling = models.CharField(max_length=6, choices=Spelling, default=Spelling.CLUB)
    answers_to = models.CharField(max_length=8, choices=Sight, default=Sight.OWN_PLAN)
    table_to = models.CharField(max_length=8, choices=Sight, default=Sight.OWN_PLAN)
    best_sets_counted = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    technique_target = models.PositiveSmallIntegerField(
        default=70, validators=[MinValueValidator(1), MaxValueValidator(99)]
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(daily_scrambles__gte=1, daily_scrambles__lte=12),
                name="club_daily_scrambles_1_to_12",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)


class DayOff(models.Model):
    """A date without a daily set, so that a holiday costs nobody anything."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="days_off")
    day = models.DateField()
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [models.UniqueConstraint(fields=["club", "day"], name="day_off_once")]

    def __str__(self) -> str:
        return f"{self.day}"


class Group(models.Model):
    """Members who train together, such as a level."""

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="groups")
    name = models.CharField(max_length=40)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint("club", Lower("name"), name="group_name_once_a_club")
        ]

    def __str__(self) -> str:
        return self.name
