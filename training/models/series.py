"""Series: rules by which a club's sets issue themselves, and days on which one goes otherwise."""

from __future__ import annotations

from datetime import date, time
from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from training import recurrence
from training.models.clubs import Club
from training.models.fields import OneOf, ShortText, SomeOf, TimeOfDay, WholeNumber, YesOrNo
from training.models.groups import Group
from training.models.sets import Kind
from training.models.settings import (
    MOST_SCRAMBLES,
    SCRAMBLES_OUT_OF_BOUNDS,
    RulesOfSets,
    every_day,
    weekday_options,
)
from training.rules import SetRules

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

MOST_MOVES = 8
LENGTHS_OUT_OF_BOUNDS = _(
    "Give both lengths, from 2 to 8 moves, the smaller one first, or leave both empty."
)

MOST_DAYS_LATER = 13
"""The longest window ends so many days after the day on which it opens."""


def series_kinds() -> list[tuple[str, StrOrPromise]]:
    """The kinds of set that a series may issue."""
    return [(one.value, one.label) for one in (Kind.DAILY, Kind.CLUB_NIGHT, Kind.CHALLENGE)]


class SeriesQuerySet(models.QuerySet["Series"]):
    def of_club(self, club: Club) -> Self:
        return self.filter(club=club)

    def repeating(self) -> Self:
        """Without those of a single day."""
        return self.filter(only_on__isnull=True)

    def issuing(self, first: date, last: date) -> Self:
        """Those whose rule may have a day from ``first`` to ``last``, both included."""
        begun = Q(begins_on__isnull=True) | Q(begins_on__lte=last)
        goes_on = Q(stopped_on__isnull=True) | Q(stopped_on__gt=first)
        once = Q(only_on__isnull=True) | Q(only_on__range=(first, last))
        return self.filter(begun, goes_on, once)


class Series(RulesOfSets):
    """A rule by which sets issue themselves. A club begins with one, its daily set.

    ``weekdays``: Monday = 0. ``closes``: on the day of opening, ``days_later`` after
    it; at or before ``opens`` without any means the next day. ``begins_on``: the
    first day that the rule, as it stands, has; None: ever since. ``stopped_on``:
    from that day on it issues nothing. ``only_on``: for a set that a coach has
    planned once, its one day. ``club_rules``: sets go by the club's rules; else by
    those that stand here. ``groups``: for whom; none of them: for everybody. ``shortest``
    and ``longest``: the moves of the crosses of picked sets; both None for random ones.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="series")
    name = ShortText(
        _("Name"),
        max_length=40,
        blank=True,
        default="",
        help_text=_("Empty: as its kind is called."),
    )
    kind = OneOf(
        _("Kind"),
        max_length=10,
        choices=series_kinds,
        default=Kind.DAILY.value,
        error_messages={"invalid_choice": _("Choose the kind from the list.")},
    )
    weekdays = SomeOf(
        _("Days with a set"),
        options=weekday_options,
        default=every_day,
        blank=True,
        error_messages={"invalid_choice": _("Choose the weekdays from the list.")},
    )
    opens = TimeOfDay(
        _("Opens at"),
        default=time(0, 0),
        error_messages={"invalid": _("Write the time as hours and minutes: 18:30.")},
    )
    closes = TimeOfDay(
        _("Closes at"),
        help_text=_("At or before the opening time: the next day. 00:00 to 00:00 is a whole day."),
        default=time(0, 0),
        error_messages={"invalid": _("Write the time as hours and minutes: 20:00.")},
    )
    days_later = WholeNumber(
        _("Closes so many days later"),
        help_text=_("0: as the closing time says, the same day or the next."),
        least=0,
        most=MOST_DAYS_LATER,
        refusal=_("A set closes at most 13 days after it opens."),
        default=0,
    )
    scrambles = WholeNumber(
        _("Scrambles in each set"),
        least=1,
        most=MOST_SCRAMBLES,
        refusal=SCRAMBLES_OUT_OF_BOUNDS,
        default=5,
    )
    shortest = WholeNumber(
        _("Shortest, in moves"),
        help_text=_(
            "Empty: random scrambles. With lengths its sets are picked: crosses as long as their "
            "members can plan, for beginners say 2 to 4, with a table of their own."
        ),
        least=2,
        most=MOST_MOVES,
        refusal=LENGTHS_OUT_OF_BOUNDS,
        null=True,
        blank=True,
    )
    longest = WholeNumber(
        _("Longest, in moves"),
        help_text=_("Empty where the shortest is."),
        least=2,
        most=MOST_MOVES,
        refusal=LENGTHS_OUT_OF_BOUNDS,
        null=True,
        blank=True,
    )
    spare = YesOrNo(
        _("Draw a spare scramble with each set"),
        default=True,
        help_text=_("It can stand in for one that is taken out while the set is open."),
    )
    club_rules = YesOrNo(
        _("By the club’s rules"),
        default=True,
        help_text=_("As Settings has them. Without this, the rules below hold for its sets."),
    )
    begins_on = models.DateField(null=True, blank=True)
    stopped_on = models.DateField(null=True, blank=True)
    only_on = models.DateField(null=True, blank=True)
    groups = models.ManyToManyField(Group, blank=True, related_name="series")

    objects = SeriesQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "series"
        constraints = [
            models.CheckConstraint(
                condition=Q(scrambles__gte=1, scrambles__lte=MOST_SCRAMBLES),
                name="series_scrambles_1_to_12",
            ),
            models.CheckConstraint(
                condition=Q(shortest__isnull=True, longest__isnull=True)
                | Q(shortest__gte=2, longest__gte=F("shortest"), longest__lte=MOST_MOVES),
                name="series_lengths_in_order",
                violation_error_message=LENGTHS_OUT_OF_BOUNDS,
            ),
            models.CheckConstraint(
                condition=Q(days_later__lte=MOST_DAYS_LATER), name="series_open_two_weeks_at_most"
            ),
        ]

    def __str__(self) -> str:
        return self.name or self.kind

    @property
    def lengths(self) -> tuple[int, int] | None:
        """The least and the most moves of its crosses; None for random ones."""
        if self.shortest is None or self.longest is None:
            return None
        return self.shortest, self.longest

    @property
    def rules_of_sets(self) -> SetRules:
        """The rules that its next set gets."""
        return self.club.rules if self.club_rules else self.rules

    def days(self, first: date, last: date) -> list[date]:
        """The days of the rule from ``first`` to ``last``; what goes otherwise is not looked at."""
        if self.only_on is not None:
            return [self.only_on] if first <= self.only_on <= last else []
        return recurrence.days(
            self.weekdays, first, last, begins_on=self.begins_on, stopped_on=self.stopped_on
        )


SERIES_SETTINGS = (
    "name",
    "kind",
    "weekdays",
    "opens",
    "closes",
    "days_later",
    "scrambles",
    "shortest",
    "longest",
    "spare",
    "club_rules",
    *(field.name for field in RulesOfSets._meta.local_fields),
)
"""What a coach may set of a series, in the order in which it is asked."""

WHEN = ("weekdays", "opens", "closes", "days_later", "kind")
"""The settings that decide which days have a set, and when."""


class OtherDay(models.Model):
    """A day of a series that goes otherwise: left out, or held at another time or on another day.

    ``day``: the day of the rule. ``held_on``: None where it is left out. ``opens``
    and ``closes``: None where they are as the series has them.
    """

    series = models.ForeignKey(Series, on_delete=models.CASCADE, related_name="other_days")
    day = models.DateField()
    held_on = models.DateField(null=True, blank=True)
    opens = models.TimeField(null=True, blank=True)
    closes = models.TimeField(null=True, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [
            models.UniqueConstraint(fields=["series", "day"], name="other_day_once"),
            models.UniqueConstraint(fields=["series", "held_on"], name="held_on_once"),
            models.CheckConstraint(
                condition=Q(held_on__isnull=False) | Q(opens__isnull=True, closes__isnull=True),
                name="left_out_has_no_times",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.day}"
