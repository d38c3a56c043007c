"""A season's last table stands by itself, as a challenge's result does; tables by group.

The rule is the product's own (no outside source): the time for questions begins when the season
is over, all of it is checked and its challenges stand; what waits, waits.
"""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from solverworker.tasks import DRAWERS
from tests.conftest import NOON
from tests.grouping import group_named, put_in
from tests.training.challenged import DAY, HOUR, a_challenge, planned
from training.entry import Entry
from training.models import Confirmation, Kind, Plan, Season, Verdict
from training.refusals import NoLongerPossible
from training.selectors.challenge_views import challenge_view
from training.selectors.challenges import challenges_of
from training.selectors.posts import posts_for, posts_of
from training.selectors.season_ends import ends_at, stands_by_itself_at
from training.selectors.seasons import season_table
from training.services import corrections
from training.services.confirming import confirm_season, settle_due
from training.services.issuing import issue_due
from training.services.plans import hand_in
from training.services.posting import post
from training.services.questions import answer, ask
from training.visibility import Sealed

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

FIRST = date(2026, 11, 2)
LAST = date(2026, 11, 15)
OVER = datetime(2026, 11, 15, 23, tzinfo=UTC)
"""The midnight in Oslo with which the season is over."""
STANDS = OVER + 48 * HOUR
EXACT, ONE_OVER = "D' R'", "D2 D R'"


@pytest.fixture
def season(club) -> Season:
    return Season.objects.create(
        club=club, name="autumn", first_day=FIRST, last_day=LAST, kinds=["challenge", "daily"]
    )


@pytest.fixture
def played(club, given, season, member, second):
    """A challenge of the season, closed and checked days before it is over."""
    one = a_challenge(club, opens=OVER - 9 * DAY, closes=OVER - 8 * DAY, scrambles=1)
    planned(given, one, member, [EXACT])
    planned(given, one, second, [ONE_OVER])
    return one


@pytest.fixture
def day(given, season, member):
    """A daily set of the season with a plan of Ines's, checked at once."""
    one = given.a_set(opens=OVER - 5 * DAY, closes=OVER - 4 * DAY, scrambles=("R D",))
    given.a_plan(member, one, 1, ONE_OVER, at=one.opens_at)
    Verdict.objects.filter(plan__scramble__scramble_set=one).update(checked_at=one.opens_at)
    return one


def stands(season: Season) -> list[tuple[datetime, list[tuple[str, int]]]]:
    """Every confirmation of a season: since when, and who has how many points."""
    found = []
    for row in Confirmation.objects.filter(season=season):
        lines = row.lines.select_related("membership")
        told = [(one.membership.display_name, one.points) for one in lines]
        found.append((row.confirmed_at, told))
    return found


TABLE = [("Ines", 0), ("Bashir", 1)]


def test_it_stands_at_the_second_at_which_the_questions_end(season, played) -> None:
    settle_due(now=STANDS - timedelta(seconds=1))
    assert stands(season) == []
    settle_due(now=STANDS)
    assert stands(season) == [(STANDS, TABLE)]
    settle_due(now=STANDS + DAY)
    assert len(stands(season)) == 1


# IANA's tz database (as `zoneinfo` reads it): Sydney went to summer time on 4 October 2026 at
# 2:00 and Oslo back on 25 October at 3:00; Santiago went to summer time on 6 September at 0:00.
@pytest.mark.parametrize(
    ("zone", "last", "over"),
    [
        ("Australia/Sydney", date(2026, 10, 3), datetime(2026, 10, 3, 14, tzinfo=UTC)),
        ("Australia/Sydney", date(2026, 10, 4), datetime(2026, 10, 4, 13, tzinfo=UTC)),
        ("Europe/Oslo", date(2026, 10, 24), datetime(2026, 10, 24, 22, tzinfo=UTC)),
        ("Europe/Oslo", date(2026, 10, 25), datetime(2026, 10, 25, 23, tzinfo=UTC)),
        ("America/Santiago", date(2026, 9, 5), datetime(2026, 9, 6, 4, tzinfo=UTC)),
        ("America/Santiago", date(2026, 9, 6), datetime(2026, 9, 7, 3, tzinfo=UTC)),
    ],
)
def test_it_is_over_at_the_midnight_of_its_own_clock(club, zone, last, over) -> None:
    club.time_zone = zone
    season = Season(club=club, name="x", first_day=last, last_day=last, kinds=["daily"])
    assert ends_at(season) == over


def test_the_machine_was_off_and_a_correction_came_first(season, played, coach, member) -> None:
    """What stood by itself is kept from the entries before it, whenever that runs."""
    plan = Plan.objects.get(membership=member)
    corrections.withdraw_plan(plan=plan, by=coach, reason="x", now=STANDS + 3 * DAY)
    assert stands(season) == [(STANDS, TABLE)]


def test_a_daily_set_s_correction_finds_the_table_kept(season, played, day, coach) -> None:
    plan = Plan.objects.get(scramble__scramble_set=day)
    corrections.withdraw_plan(plan=plan, by=coach, reason="x", now=STANDS + DAY)
    assert stands(season) == [(STANDS, [("Ines", 1), ("Bashir", 9)])]


def test_a_question_that_waits_keeps_it_open(season, played, day, given, coach, member) -> None:
    asked = ask(by=member, scramble=given.scramble(day), words="Why?", now=OVER + 40 * HOUR)
    settle_due(now=STANDS + DAY)
    assert stands(season) == []
    answer(question=asked, by=coach, words="So.", now=STANDS + 30 * HOUR)
    settle_due(now=STANDS + 40 * HOUR)
    assert [at for at, _lines in stands(season)] == [STANDS + 30 * HOUR]


def test_it_waits_for_its_last_challenge(season, played, club, given, member, coach) -> None:
    late = a_challenge(club, opens=OVER - 2 * DAY, closes=OVER - HOUR, scrambles=1)
    planned(given, late, member, [EXACT])
    settle_due(now=STANDS)
    assert stands(season) == []
    # It stands by itself two days after it closed, or as soon as a coach says so.
    begins = OVER - HOUR + 48 * HOUR
    settle_due(now=begins + 48 * HOUR - timedelta(seconds=1))
    assert stands(season) == []
    settle_due(now=begins + 48 * HOUR)
    assert [at for at, _lines in stands(season)] == [begins + 48 * HOUR]


def test_a_plan_that_is_being_checked_keeps_it_open(season, played, given, member) -> None:
    day = given.a_set(opens=OVER - 5 * DAY, closes=OVER - 4 * DAY, scrambles=("R D",))
    given.a_plan(member, day, 1, EXACT, at=day.opens_at, checked=False)
    settle_due(now=STANDS + DAY)
    assert stands(season) == []
    assert stands_by_itself_at(season) is None


def test_a_coach_is_first(season, played, coach) -> None:
    settle_due(now=OVER + HOUR)
    confirm_season(season=season, by=coach, now=OVER + HOUR)
    settle_due(now=STANDS + DAY)
    assert [at for at, _lines in stands(season)] == [OVER + HOUR]
    with pytest.raises(NoLongerPossible):
        confirm_season(season=season, by=coach, now=STANDS + DAY)


def test_a_season_that_nothing_fed_stands_never(season) -> None:
    settle_due(now=STANDS + 30 * DAY)
    assert stands(season) == []


def test_its_page_says_until_when_members_ask(season, played, member) -> None:
    settle_due(now=OVER)
    assert season_table(member, season, OVER).stands_at == STANDS
    assert season_table(member, season, OVER - HOUR).stands_at is None
    settle_due(now=STANDS)
    table = season_table(member, season, STANDS)
    assert table.stands_at is None
    assert table.result is not None
    assert (table.result.by_itself, table.result.by) == (True, "")


def test_a_tick_asks_little_of_a_season_that_is_not_over(season, played) -> None:
    def queries(now: datetime) -> int:
        with CaptureQueriesContext(connection) as caught:
            settle_due(now=now)
        return len(caught)

    settle_due(now=OVER)
    assert queries(OVER + HOUR) == 2


# Tables by group -----------------------------------------------------------------------------


def test_a_challenge_s_table_of_a_group_ranks_its_own(
    played, club, given, coach, member, second
) -> None:
    builders = put_in("Builders", second, since=NOON - 60 * DAY)
    # Ines came to the group while it was open: not all the while.
    put_in("Builders", member, since=OVER - 9 * DAY + HOUR)
    view = challenge_view(coach, played.pk, OVER, builders)
    assert [(one.rank, one.member) for one in view.lines] == [(1, "Bashir")]
    assert view.group == "Builders"
    settle_due(now=OVER)
    view = challenge_view(coach, played.pk, OVER, builders)
    assert [(one.rank, one.member) for one in view.lines] == [(1, "Bashir")]
    assert [one.rank for one in challenge_view(coach, played.pk, OVER).lines] == [1, 2]


def test_a_season_s_table_of_a_group_adds_up_what_was_theirs(
    season, played, club, given, coach, member, second
) -> None:
    """By hand: Ines is a Builder in the second week alone, Bashir in both."""
    later = a_challenge(club, opens=OVER - 4 * DAY, closes=OVER - 3 * DAY, scrambles=1)
    planned(given, later, member, [ONE_OVER])
    planned(given, later, second, [EXACT])
    builders = put_in("Builders", second, since=NOON - 60 * DAY)
    put_in("Builders", member, since=OVER - 6 * DAY)
    settle_due(now=STANDS + 3 * DAY)
    table = season_table(coach, season, STANDS + 3 * DAY, builders)
    assert [(one.member, one.score.points, one.sets) for one in table.rows] == [("Bashir", 1, 2)]
    assert [(one.member, one.score.points, one.sets) for one in table.late] == [("Ines", 1, 1)]
    assert (table.group, table.result) == ("Builders", None)


# Announced to one group ---------------------------------------------------------------------


@pytest.fixture
def for_builders(club, given, season, member, second):
    put_in("Builders", member, since=NOON - 60 * DAY)
    one = a_challenge(
        club,
        opens=OVER - 9 * DAY,
        closes=OVER - 8 * DAY,
        scrambles=1,
        groups=[group_named(club, "Builders")],
    )
    planned(given, one, member, [EXACT])
    return one


def test_who_does_not_belong_is_told_nothing_of_it(for_builders, coach, member, second) -> None:
    for who, told in ((member, [for_builders.pk]), (second, []), (coach, [for_builders.pk])):
        assert [one.id for one in challenges_of(who, OVER)] == told
    with pytest.raises(Sealed):
        challenge_view(second, for_builders.pk, OVER)
    with pytest.raises(Sealed):
        hand_in(
            membership=second,
            scramble=for_builders.scramble_set.scrambles.get(number=1),
            entry=Entry(written=EXACT),
            key=uuid.uuid4(),
            now=OVER - 8 * DAY - HOUR,
        )


def test_it_feeds_no_season_and_its_post_stays_in_the_club(
    for_builders, season, club, coach, member, second
) -> None:
    (head,) = challenges_of(member, OVER)
    assert (head.season, head.season_id, head.groups) == ("", None, ("Builders",))
    assert season_table(coach, season, OVER).sets == 0
    made = post(challenge=for_builders, by=coach, now=OVER)
    assert posts_for(member, OVER) == [made]
    assert posts_for(second, OVER) == []
    assert posts_of(club) == []


def test_its_result_is_of_the_group_alone(for_builders, coach) -> None:
    view = challenge_view(coach, for_builders.pk, OVER)
    assert [one.member for one in view.lines] == ["Ines"]


def test_a_series_announces_to_its_groups(club, member, second) -> None:
    put_in("Builders", member, since=NOON - 60 * DAY)
    series = club.series.create(kind=Kind.CHALLENGE, weekdays=[2, 3], days_later=2)
    series.groups.set([group_named(club, "Builders")])
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert len(challenges_of(member, NOON)) == 2
    assert challenges_of(second, NOON) == []
