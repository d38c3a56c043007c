"""Clubs, who belongs to them and how they wish their days to run."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils import timezone

from training.models.fields import OneOf
from training.models.people import languages, site_language
from training.models.settings import DailySettings


class Club(DailySettings):
    """A club and the settings of its days. ``language``: what it speaks unless a member chooses."""

    name = models.CharField(max_length=60)
    slug = models.SlugField(max_length=60, unique=True)
    language = OneOf(max_length=10, choices=languages, default=site_language)
    created_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(daily_scrambles__gte=1, daily_scrambles__lte=12),
                name="club_daily_scrambles_1_to_12",
            ),
        ]

    def __str__(self) -> str:
        return self.name


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
