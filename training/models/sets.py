"""Sets: the scrambles issued together, and when they are open."""

from __future__ import annotations

from datetime import datetime
from typing import Self

from django.db import models
from django.db.models import Count, Exists, F, OuterRef, Q
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.clubs import Club
from training.models.fields import OneOf
from training.models.groups import Group, GroupTime
from training.models.members import Membership
from training.models.settings import RulesOfSets
from training.rules import PickedProfile


class Kind(models.TextChoices):
    DAILY = "daily", _("daily")
    HOMEWORK = "homework", _("homework")
    CLUB_NIGHT = "club_night", _("club night")
    CHALLENGE = "challenge", _("weekly challenge")
    PRACTICE = "practice", _("practice")
    AFTERWARDS = "afterwards", _("afterwards")


LESSON_KINDS = (Kind.HOMEWORK, Kind.CLUB_NIGHT)
"""The kinds of set that a coach gives for a lesson."""


class Drawn(models.TextChoices):
    AS_DRAWN = "as_drawn", _("as drawn")
    PICKED = "picked", _("picked")
    AGAIN = "again", _("again")
    """The scrambles of another set, which has closed; neither of the other two."""


class ScrambleSetQuerySet(models.QuerySet["ScrambleSet"]):
    """Instants are compared as in :mod:`training.policies`, which asks about one set."""

    def of_club(self, club: Club) -> Self:
        return self.filter(club=club)

    def daily(self) -> Self:
        return self.filter(kind=Kind.DAILY)

    def issued(self) -> Self:
        """The sets that issued themselves, by a series."""
        return self.filter(series__isnull=False)

    def lessons(self) -> Self:
        return self.filter(kind__in=LESSON_KINDS)

    def practice_of(self, member: Membership) -> Self:
        return self.filter(kind=Kind.PRACTICE, for_member=member)

    def afterwards_of(self, member: Membership) -> Self:
        """Closed sets that a member plans again."""
        return self.filter(kind=Kind.AFTERWARDS, for_member=member)

    def shared(self) -> Self:
        """Sets of the whole club, so without what is somebody's own."""
        return self.filter(for_member__isnull=True)

    def shared_or_of(self, member_id: int, *kinds: Kind) -> Self:
        """Sets of the whole club, and what is a member's own; of some ``kinds`` alone, if given."""
        own = Q(for_member=member_id, kind__in=kinds) if kinds else Q(for_member=member_id)
        return self.filter(Q(for_member__isnull=True) | own)

    def to_everybody(self) -> Self:
        """Sets that no group has to itself: the club's tables sum these alone."""
        return self.filter(~Exists(GroupOfSet.objects.filter(scramble_set=OuterRef("pk"))))

    def for_groups(self) -> Self:
        """Sets that are for some groups alone."""
        return self.filter(Exists(GroupOfSet.objects.filter(scramble_set=OuterRef("pk"))))

    def for_group(self, group: Group) -> Self:
        """Sets that are for a group, maybe for others too."""
        own = GroupOfSet.objects.filter(scramble_set=OuterRef("pk"), group=group)
        return self.filter(Exists(own))

    def as_drawn(self) -> Self:
        """The sets that feed tables and reviews."""
        return self.filter(drawn=Drawn.AS_DRAWN)

    def of_days(self) -> Self:
        """The sets of which tables of a day and a week are made: a challenge has its own."""
        return self.exclude(kind=Kind.CHALLENGE)

    def undrawn(self) -> Self:
        """Sets as drawn that a worker is still to draw, all at once."""
        return self.as_drawn().filter(scrambles_wanted__gt=0, scrambles__isnull=True)

    def not_taken_out(self) -> Self:
        """Sets that no correction has taken out of the tables."""
        return self.filter(taken_out=False)

    def noted_in_practice(self) -> Self:
        """As :attr:`ScrambleSet.is_noted_in_practice` says of one."""
        return self.not_taken_out().exclude(kind=Kind.AFTERWARDS)

    def picked(self) -> Self:
        return self.filter(drawn=Drawn.PICKED)

    def opened(self, now: datetime) -> Self:
        return self.filter(opens_at__lte=now)

    def to_come(self, now: datetime) -> Self:
        return self.filter(opens_at__gt=now)

    def opening_within(self, begin: datetime, end: datetime) -> Self:
        """Sets that open from ``begin`` on and before ``end``."""
        return self.filter(opens_at__gte=begin, opens_at__lt=end)

    def closed(self, now: datetime) -> Self:
        return self.filter(closes_at__lte=now)

    def not_closed(self, now: datetime) -> Self:
        return self.filter(closes_at__gt=now)

    def closing_within(self, after: datetime, until: datetime) -> Self:
        """Sets that are due to close after ``after``, at ``until`` at the latest.

        A set that closes at midnight belongs to the day that ends there.
        """
        return self.due_after(after).due_by(until)

    def due_by(self, instant: datetime) -> Self:
        """Sets that were to close at ``instant`` at the latest."""
        return self.filter(due_at__lte=instant)

    def due_after(self, instant: datetime) -> Self:
        return self.filter(due_at__gt=instant)

    def not_finished(self) -> Self:
        return self.filter(finished_at__isnull=True)

    def short_of_scrambles(self) -> Self:
        """Picked sets of which some scrambles are still to be drawn; ``have``: how many are."""
        return (
            self.picked().annotate(have=Count("scrambles")).filter(have__lt=F("scrambles_wanted"))
        )


def given_to(membership_id: int, *, at: str = "") -> Q:
    """For a filter of sets: those for everybody, and those for a group in which somebody was.

    As :func:`training.belonging.is_given` says it of one set. ``at``: where the
    filtered rows have their set, as ``"scramble_set__"``.
    """
    groups = GroupOfSet.objects.filter(scramble_set=OuterRef(f"{at}pk"))
    inside = GroupTime.objects.filter(
        Q(ends_at__isnull=True) | Q(ends_at__gte=OuterRef(f"{at}due_at")),
        group__groupofset__scramble_set=OuterRef(f"{at}pk"),
        membership=membership_id,
        begins_at__lte=OuterRef(f"{at}opens_at"),
    )
    return ~Exists(groups) | Q(Exists(inside))


class ScrambleSet(RulesOfSets):
    """A set. Whether it is open is computed from its two instants, never stored.

    ``groups``: whom it is for; none: everybody.

    ``seed``: what gives the same scrambles again; no page and no export tells
    it. ``profile``: what a picked set is drawn to (``drawn_to`` gives it as a
    value); None for one as drawn.
    ``scrambles_wanted``: how many a picked set is to have; a worker draws those
    that are missing. ``for_member``: whose own practice it is; None for a set of
    the whole club. ``series``: the one that issued it, which stays as long as it
    does; None for a set that somebody gave. ``again_of``: the closed set that its member
    plans again in this one, afterwards. ``taken_out``: a correction lets it count for nobody.
    ``spare``: a scramble more, sealed until it stands in for one that is taken
    out while the set is open; empty where there is none, or none any more.
    ``kept_open_from``: when it was to close, where a coach keeps it open longer;
    ``due_at``: when it was to close in any case. The day and the week that it belongs to
    go by that: nobody's week changes because a set stays open for an hour more.
    ``nth``: which it is of the sets of its kind and day for the same people, counted from 1; two
    homeworks of one Friday are told apart by it.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="sets")
    kind = OneOf(max_length=10, choices=Kind, default=Kind.DAILY)
    drawn = OneOf(max_length=8, choices=Drawn, default=Drawn.AS_DRAWN)
    draw_method = models.CharField(max_length=20)
    seed = models.CharField(max_length=64, blank=True, default="")
    profile = models.JSONField(null=True, blank=True)
    scrambles_wanted = models.PositiveSmallIntegerField(default=0)
    for_member = models.ForeignKey(
        Membership, null=True, blank=True, on_delete=models.CASCADE, related_name="own_sets"
    )
    series = models.ForeignKey(
        "training.Series", null=True, blank=True, on_delete=models.RESTRICT, related_name="sets"
    )
    again_of = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.CASCADE, related_name="planned_again"
    )
    groups = models.ManyToManyField(Group, through="GroupOfSet", related_name="sets", blank=True)
    day = models.DateField()
    opens_at = models.DateTimeField()
    closes_at = models.DateTimeField()
    kept_open_from = models.DateTimeField(null=True, blank=True)
    due_at = models.GeneratedField(
        expression=Coalesce("kept_open_from", "closes_at"),
        output_field=models.DateTimeField(),
        db_persist=True,
    )
    issued_at = models.DateTimeField(default=timezone.now)
    finished_at = models.DateTimeField(null=True, blank=True)
    taken_out = models.BooleanField(default=False)
    nth = models.PositiveSmallIntegerField(default=1)
    spare = models.CharField(max_length=200, blank=True, default="")

    objects = ScrambleSetQuerySet.as_manager()

    class Meta:
        ordering = ["opens_at"]
        indexes = [
            models.Index(fields=["club", "closes_at"], name="set_club_closes"),
            models.Index(fields=["club", "due_at"], name="set_club_due"),
            models.Index(
                fields=["closes_at"],
                condition=Q(finished_at__isnull=True),
                name="set_unfinished",
            ),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(closes_at__gt=F("opens_at")), name="set_closes_after_it_opens"
            ),
            models.CheckConstraint(
                condition=Q(drawn__in=["as_drawn", "again"], profile__isnull=True)
                | Q(drawn="picked", profile__isnull=False),
                name="picked_to_a_profile",
            ),
            models.CheckConstraint(
                condition=Q(kind="practice", for_member__isnull=False, drawn="picked")
                | Q(kind="afterwards", for_member__isnull=False, drawn="again")
                | Q(kind="homework", drawn="picked")
                | (~Q(kind__in=["practice", "afterwards"]) & Q(for_member__isnull=True)),
                name="practice_is_somebodys_own",
            ),
            models.CheckConstraint(
                condition=Q(kind="afterwards", again_of__isnull=False)
                | (~Q(kind="afterwards") & Q(again_of__isnull=True)),
                name="afterwards_is_of_a_set",
            ),
            models.UniqueConstraint(
                fields=["for_member", "again_of"],
                condition=Q(kind="afterwards"),
                name="afterwards_once",
            ),
            models.UniqueConstraint(
                fields=["for_member", "day"],
                condition=Q(kind="practice"),
                name="one_practice_a_day",
            ),
            models.UniqueConstraint(fields=["series", "day"], name="one_set_a_series_and_day"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.day}"

    @property
    def is_noted_in_practice(self) -> bool:
        """Whether what its plans miss comes back in practice: not of a set whose answers are known.

        So nothing of one that is planned again afterwards, nor of one that counts for nobody.
        """
        return self.kind != Kind.AFTERWARDS and not self.taken_out

    @property
    def drawn_to(self) -> PickedProfile | None:
        """What a picked set is drawn to; None for one as drawn."""
        return None if self.profile is None else PickedProfile.from_json(self.profile)


class GroupOfSet(models.Model):
    """That a set is for a group. A group with sets cannot go: its set would be everybody's."""

    scramble_set = models.ForeignKey(ScrambleSet, on_delete=models.CASCADE)
    group = models.ForeignKey(Group, on_delete=models.RESTRICT)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["scramble_set", "group"], name="group_of_set_once")
        ]

    def __str__(self) -> str:
        return f"set {self.scramble_set_id} for {self.group_id}"


class Scramble(models.Model):
    """One scramble of a set; numbered from 1. ``void``: a correction lets it count for nobody.

    ``stands_for``: the void one in whose place it was put.
    """

    scramble_set = models.ForeignKey(
        ScrambleSet, on_delete=models.CASCADE, related_name="scrambles"
    )
    number = models.PositiveSmallIntegerField()
    text = models.CharField(max_length=200)
    void = models.BooleanField(default=False)
    stands_for = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.CASCADE, related_name="stood_for_by"
    )

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["scramble_set", "number"], name="scramble_number_once")
        ]

    def __str__(self) -> str:
        return f"scramble {self.number}"
