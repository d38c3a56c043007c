"""Everything that a club owns, table by table: which rows, which columns, and what is left out.

A table of the archive is a table of the database without its secrets: no hash,
token, code, key or seed, and no spare scramble. Nothing that is sealed for
anybody is in it: no set before it opens, and no plan before its set has closed.
What is somebody's own, practice, sets planned again and what was found on a second
look, stays with that person (*My data*).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Model, Q, QuerySet
from django.utils.translation import gettext as _

from training.models import (
    Challenge,
    Club,
    Confirmation,
    ConfirmedLine,
    Correction,
    CountingPeriod,
    CubeNote,
    DayOff,
    Deed,
    Group,
    GroupOfSet,
    GroupTime,
    Inspection,
    Kind,
    Membership,
    OtherDay,
    Plan,
    Post,
    Question,
    Scramble,
    ScrambleSet,
    Season,
    Series,
    TaughtLesson,
    Verdict,
    WorthAWord,
)
from training.models.sets import ScrambleSetQuerySet

BATCH = 2000

RULES = (
    *("colours", "spelling", "answers_to", "table_to", "best_sets_counted"),
    *("timing", "held"),
)


@dataclass(frozen=True, slots=True)
class ArchiveTable:
    """One table: its ``name``, what stands in it, its columns and where each comes from.

    ``in_json_alone``: columns too large for a spreadsheet.
    """

    name: str
    about: str
    rows: QuerySet[Any]
    columns: tuple[str, ...]
    in_json_alone: tuple[str, ...] = ()

    def read(self, columns: Sequence[str]) -> Iterator[tuple[Any, ...]]:
        """The rows of some columns, a batch in memory at a time."""
        return self.rows.values_list(*columns).iterator(BATCH)


def archive_tables(club: Club, now: datetime) -> Iterator[ArchiveTable]:
    """The tables of a club as of an instant, in the order in which one leads to the next."""
    yield ArchiveTable(
        "club",
        _("The club and its settings."),
        Club.objects.filter(pk=club.pk),
        ("name", "slug", "language", "created_at", "time_zone", "technique_target", *RULES),
    )
    yield from _people(club)
    yield from _calendar(club)
    yield from _sets(club, now)
    yield from _challenges(club, now)
    yield _table(
        "lessons",
        _("Lessons held without a set."),
        TaughtLesson.objects.filter(club=club),
        "code",
        "day",
        "noted_at",
    )
    yield _table(
        "lesson_members",
        _("Who was at a lesson."),
        TaughtLesson.members.through.objects.filter(taughtlesson__club=club),
        "taughtlesson_id",
        "membership_id",
    )
    yield _table(
        "log",
        _("Who did what to whom."),
        Deed.objects.filter(club=club),
        "done_at",
        "what",
        "by_id",
        "whom_id",
        "detail",
    )


def _table(name: str, about: str, rows: QuerySet[Any], *columns: str) -> ArchiveTable:
    return ArchiveTable(name, about, rows.order_by("pk"), ("id", *columns))


def _people(club: Club) -> Iterator[ArchiveTable]:
    yield _table(
        "people",
        _("Everybody who belongs or belonged to the club; of a former member no name is left."),
        Membership.objects.filter(club=club),
        *("display_name", "person__sign_in_name", "role", "competes", "stopped_competing_at"),
        *("standing", "joined_at", "under_18", "consent_noted_at", "consent_note"),
        *("consent_text", "consent_withdrawn_at", "named_outside", "outside_consent_at"),
        *("inspects", "usual_hold"),
    )
    yield _table(
        "counting_periods",
        _("Over which times a table counts whom."),
        CountingPeriod.objects.of_club(club),
        "membership_id",
        "begins_at",
        "ends_at",
        "left_at",
        "estimated",
    )
    yield _table("groups", _("The groups."), Group.objects.filter(club=club), "name", "archived_at")
    yield _table(
        "group_times",
        _("Who belonged to which group, from when to when."),
        GroupTime.objects.filter(membership__club=club),
        "membership_id",
        "group_id",
        "begins_at",
        "ends_at",
    )


def _calendar(club: Club) -> Iterator[ArchiveTable]:
    yield _table(
        "series",
        _("The rules by which sets issue themselves."),
        Series.objects.filter(club=club),
        *("name", "kind", "weekdays", "opens", "closes", "days_later", "scrambles", "spare"),
        *("shortest", "longest", "club_rules", "begins_on", "stopped_on", "only_on", *RULES),
    )
    yield _table(
        "series_groups",
        _("For which groups a series is; none: for everybody."),
        Series.groups.through.objects.filter(series__club=club),
        "series_id",
        "group_id",
    )
    yield _table(
        "other_days",
        _("Single days of a series that were moved or skipped."),
        OtherDay.objects.filter(series__club=club),
        "series_id",
        "day",
        "held_on",
        "opens",
        "closes",
    )
    yield _table(
        "days_off", _("Dates without a set."), DayOff.objects.filter(club=club), "day", "reason"
    )


def _opened(club: Club, now: datetime) -> ScrambleSetQuerySet:
    """The sets that somebody gave, homework for one member with them; nobody's own."""
    own = (Kind.PRACTICE, Kind.AFTERWARDS)
    return ScrambleSet.objects.of_club(club).exclude(kind__in=own).opened(now)


def _sets(club: Club, now: datetime) -> Iterator[ArchiveTable]:
    opened = _opened(club, now)
    closed = opened.closed(now)
    yield _table(
        "sets",
        _("The sets that have opened, each with the rules that it opened with."),
        opened,
        *("kind", "drawn", "draw_method", "profile", "scrambles_wanted", "series_id", "day"),
        *("opens_at", "closes_at", "kept_open_from", "due_at", "issued_at", "finished_at"),
        *("taken_out", "nth", "for_member_id", *RULES),
    )
    yield _table(
        "set_groups",
        _("For which groups a set is; none: for everybody."),
        GroupOfSet.objects.filter(scramble_set__in=opened),
        "scramble_set_id",
        "group_id",
    )
    yield _table(
        "scrambles",
        _("Their scrambles."),
        Scramble.objects.filter(scramble_set__in=opened),
        "scramble_set_id",
        "number",
        "text",
        "void",
        "stands_for_id",
    )
    plans = Plan.objects.filter(scramble__scramble_set__in=closed)
    yield _table(
        "plans",
        _("The plans of the sets that have closed; of a former member no words are left."),
        plans,
        *("scramble_id", "membership_id", "kind", "written", "canonical", "pair_written"),
        *("pair_canonical", "handed_in_at", "status", "failure_reason", "rules_version"),
        *("held", "inspection_id", "out_of_time"),
    )
    yield _table(
        "inspections",
        _("How scrambles of the sets that have closed were inspected, by the server’s clock."),
        Inspection.objects.filter(scramble__scramble_set__in=closed),
        *("membership_id", "scramble_id", "chosen", "begun_at", "begun_trip", "ended_at"),
        *("ended_trip", "looked_again_at"),
    )
    yield _table(
        "cube_notes",
        _("Whose cube did not look like the picture of a scramble."),
        CubeNote.objects.filter(scramble__scramble_set__in=closed),
        "membership_id",
        "scramble_id",
        "told_at",
    )
    yield ArchiveTable(
        "verdicts",
        _("What the solver said of them; all of it in the JSON, the figures in the CSV."),
        Verdict.objects.filter(plan__in=plans).order_by("pk"),
        (
            *("plan_id", "solved", "colour", "moves", "best", "excess", "colour_choice"),
            *("distance_left", "rules_version", "checked_at"),
        ),
        in_json_alone=("techniques", "report"),
    )
    yield _table(
        "corrections",
        _("What was corrected in results; of open sets only what is for everybody."),
        Correction.objects.filter(
            Q(scramble_set__in=closed) | Q(scramble_set__in=opened, plan__isnull=True)
        ),
        *("kind", "scramble_set_id", "scramble_id", "plan_id", "undoes_id", "in_force", "by_id"),
        *("done_at", "reason", "before", "after", "own_table"),
    )


def _challenges(club: Club, now: datetime) -> Iterator[ArchiveTable]:
    opened = _opened(club, now)
    challenges = Challenge.objects.filter(scramble_set__in=opened)
    yield _table(
        "challenges",
        _("The weekly challenges that have opened."),
        challenges,
        *("scramble_set_id", "number", "name", "announced_at", "announced_by_id"),
        *("question_hours", "checked_at"),
    )
    seasons = Season.objects.filter(club=club)
    yield _table(
        "seasons",
        _("The seasons."),
        seasons,
        "name",
        "first_day",
        "last_day",
        "kinds",
        "best_sets_counted",
        "made_at",
    )
    confirmed = Confirmation.objects.filter(Q(challenge__in=challenges) | Q(season__in=seasons))
    yield _table(
        "confirmations",
        _("Results that were confirmed."),
        confirmed,
        *("challenge_id", "season_id", "turn", "confirmed_at", "noted_at", "by_id", "own_table"),
        "rules",
    )
    yield _table(
        "confirmed_lines",
        _("Their lines, as they were confirmed."),
        ConfirmedLine.objects.filter(confirmation__in=confirmed),
        *("confirmation_id", "membership_id", "rank", "points", "solved", "exact", "crosses"),
        *("late", "sets"),
    )
    yield _table(
        "questions",
        _("What members asked of closed sets, and what was answered."),
        Question.objects.filter(scramble__scramble_set__in=opened.closed(now)),
        *("membership_id", "scramble_id", "words", "asked_at", "answer", "answered_at"),
        *("answered_by_id", "correction_id"),
    )
    posts = Post.objects.filter(challenge__in=challenges)
    yield _table("posts", _("The posts."), posts, "challenge_id", "posted_at", "by_id")
    yield _table(
        "worth_a_word",
        _("What posts say of whom."),
        WorthAWord.objects.filter(post__in=posts),
        "post_id",
        "place",
        "kind",
        "membership_id",
        "figures",
    )


LEFT_OUT: dict[type[Model], Iterable[str]] = {
    # The club that the archive is of, or what leads there by another row.
    Club: ("id",),
    Membership: ("club_id", "person_id", "consent_noted_by_id", "outside_consent_by_id"),
    ScrambleSet: ("club_id", "seed", "spare", "again_of_id"),
    Series: ("club_id",),
    Group: ("club_id",),
    DayOff: ("club_id",),
    Season: ("club_id",),
    Correction: ("club_id",),
    TaughtLesson: ("club_id",),
    Deed: ("club_id",),
    # What the queue and a retry need, and nobody else.
    Plan: ("key", "attempts", "rung_at"),
    Verdict: ("id",),
}
"""Columns of these tables that no archive has."""
