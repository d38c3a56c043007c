"""Weekly challenges, and the seasons that they and other sets feed."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.clubs import Club
from training.models.fields import SomeOf, WholeNumber
from training.models.members import Membership
from training.models.sets import Kind, ScrambleSet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django_stubs_ext import StrOrPromise

QUESTION_HOURS = 48
"""How long members ask about a challenge once all of it is checked, unless a coach says so."""

SEASON_KINDS = (Kind.CHALLENGE, Kind.DAILY)
"""The kinds of set that can feed a season: those that everybody is given alike."""


class ChallengeQuerySet(models.QuerySet["Challenge"]):
    def of_club(self, club: Club | int) -> Self:
        return self.filter(scramble_set__club=club)

    def announced(self, now: datetime) -> Self:
        return self.filter(announced_at__lte=now)

    def not_confirmed(self) -> Self:
        """Challenges of which no result stands yet."""
        return self.filter(confirmations__isnull=True)

    def of_closed_sets(self, now: datetime) -> Self:
        return self.filter(scramble_set__closes_at__lte=now, scramble_set__taken_out=False)


class Challenge(models.Model):
    """What is more than a set about a weekly challenge. In which state it is, is computed.

    ``number``: the how-manieth of its season it is, or of its club outside of one.
    ``question_hours``: how long members ask once every plan is checked;
    ``checked_at``: when that was, kept once it is known, so that a plan checked
    anew later moves nothing. ``announced_by``: None for a series, or a former member.
    """

    scramble_set = models.OneToOneField(
        ScrambleSet, on_delete=models.CASCADE, related_name="challenge"
    )
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=60, blank=True, default="")
    announced_at = models.DateTimeField(default=timezone.now)
    announced_by = models.ForeignKey(
        Membership, null=True, on_delete=models.SET_NULL, related_name="challenges_announced"
    )
    question_hours = WholeNumber(
        _("Hours for questions"),
        help_text=_("From the last verdict on. Then the result stands, if none is unanswered."),
        least=1,
        most=240,
        refusal=_("Members have 1 to 240 hours for questions."),
        default=QUESTION_HOURS,
    )
    checked_at = models.DateTimeField(null=True, blank=True)

    objects = ChallengeQuerySet.as_manager()

    class Meta:
        ordering = ["-scramble_set__opens_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(question_hours__gte=1, question_hours__lte=240),
                name="challenge_hours_1_to_240",
            ),
        ]

    def __str__(self) -> str:
        return f"challenge {self.pk}"


class Season(models.Model):
    """A time over which a club adds up results. What it counts is fixed once it has begun.

    ``kinds``: the kinds of set that feed it. ``best_sets_counted``: how many
    sets of a member count, None for all. A set belongs to it by the day on which it
    was to close, in the club's zone.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="seasons")
    name = models.CharField(_("Name"), max_length=60)
    first_day = models.DateField(_("First day"))
    last_day = models.DateField(_("Last day"))
    kinds = SomeOf(
        _("What feeds it"),
        options=lambda: season_kind_options(),
        error_messages={
            "required": _("Choose at least one kind of set."),
            "blank": _("Choose at least one kind of set."),
            "invalid_choice": _("Choose the kinds of set from the list."),
        },
    )
    best_sets_counted = WholeNumber(
        _("Best sets that count"),
        help_text=_("Empty: all of them. It cannot be changed once the season has begun."),
        least=1,
        most=400,
        refusal=_("Between 1 and 400 sets count. Leave it empty to let all count."),
        null=True,
        blank=True,
    )
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-first_day"]
        constraints = [
            models.UniqueConstraint("club", Lower("name"), name="season_name_once_a_club"),
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")), name="season_ends_after_it_begins"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def days(self) -> tuple[date, date]:
        """Its first day and its last."""
        return self.first_day, self.last_day


def season_kind_options() -> Iterator[tuple[str, StrOrPromise]]:
    """The kinds that can feed a season, with their names."""
    names = {Kind.CHALLENGE: _("weekly challenges"), Kind.DAILY: _("daily sets")}
    return ((kind.value, names[kind]) for kind in SEASON_KINDS)


class Confirmation(models.Model):
    """A result that stands: of a challenge, or the last table of a season.

    Numbers as they were at ``confirmed_at``, with the ``rules`` they were made
    by; what is corrected later shows beside them. ``turn``: 1, then 2 for a new
    confirmation of the same, which takes the place of the earlier. ``by``: None
    when it stood by itself, at the end of the time for questions.
    """

    challenge = models.ForeignKey(
        Challenge, null=True, on_delete=models.CASCADE, related_name="confirmations"
    )
    season = models.ForeignKey(
        Season, null=True, on_delete=models.CASCADE, related_name="confirmations"
    )
    turn = models.PositiveSmallIntegerField(default=1)
    confirmed_at = models.DateTimeField()
    noted_at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        Membership, null=True, on_delete=models.SET_NULL, related_name="confirmations"
    )
    own_table = models.BooleanField(default=False)
    rules = models.JSONField(default=dict)

    class Meta:
        ordering = ["turn"]
        constraints = [
            models.CheckConstraint(
                condition=Q(challenge__isnull=False, season__isnull=True)
                | Q(challenge__isnull=True, season__isnull=False),
                name="confirms_one_thing",
            ),
            models.UniqueConstraint(
                fields=["challenge", "turn"],
                condition=Q(challenge__isnull=False),
                name="challenge_confirmed_once_a_turn",
            ),
            models.UniqueConstraint(
                fields=["season", "turn"],
                condition=Q(season__isnull=False),
                name="season_confirmed_once_a_turn",
            ),
        ]

    def __str__(self) -> str:
        return f"confirmation {self.pk}"


class ConfirmedLine(models.Model):
    """One member's line of a confirmed result.

    ``late``: in the list of those for whom not every set counts; ``sets``: over
    how many the mean is there.
    """

    confirmation = models.ForeignKey(Confirmation, on_delete=models.CASCADE, related_name="lines")
    membership = models.ForeignKey(
        Membership, on_delete=models.CASCADE, related_name="confirmed_lines"
    )
    rank = models.PositiveSmallIntegerField()
    points = models.PositiveIntegerField()
    solved = models.PositiveIntegerField()
    exact = models.PositiveIntegerField()
    crosses = models.PositiveIntegerField()
    late = models.BooleanField(default=False)
    sets = models.PositiveSmallIntegerField(default=1)

    class Meta:
        ordering = ["late", "rank", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["confirmation", "membership"], name="one_line_a_confirmation"
            ),
        ]

    def __str__(self) -> str:
        return f"line {self.pk}"
