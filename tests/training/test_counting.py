"""Counting periods: whom the tables charge for what, over lives that change in between.

The rule is product's own: a table charges a member for sets that lie wholly inside one of the
member's periods. Common practice of leagues, no published source.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from tests.conftest import NOON, PHRASE, Given, make_membership
from training import visibility
from training.models import (
    CountingPeriod,
    Membership,
    Person,
    Role,
    ScrambleSet,
    SetSummary,
    Standing,
)
from training.ranking import Score
from training.selectors import tables
from training.selectors.accounts import accounts_of
from training.selectors.reviews import member_review
from training.services import accounts, counting, newcomers, particulars, people, summaries
from training.services.people import NewAccount

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)
MONDAY = datetime(2026, 11, 22, 23, 0, tzinfo=NOON.tzinfo)
"""The midnight in Oslo with which the week of the tests begins."""

AFTER = MONDAY + 7 * DAY
SOLVED, LOSES_ONE = "D' R'", "D D2 R'"


@pytest.fixture
def sets(given: Given) -> list[ScrambleSet]:
    """Monday's to Sunday's sets of one cross each."""
    return [
        given.a_set(MONDAY + n * DAY, MONDAY + (n + 1) * DAY, scrambles=("R D",)) for n in range(7)
    ]


def spans(who: Membership) -> list[tuple[datetime, datetime | None, datetime | None]]:
    return [(one.begins_at, one.ends_at, one.left_at) for one in who.counting_periods.all()]


def week(viewer: Membership) -> tables.Table:
    return tables.week_table(viewer, (MONDAY + HOUR).date() + DAY, AFTER)


def charged(table: tables.Table, name: str) -> list[int | None]:
    """What each set of the week charges somebody, None where it does not."""
    lines = (*table.rows, *table.late, *table.outside)
    (line,) = (one for one in lines if one.member == name)
    return [None if one.score is None else one.score.points for one in line.set_scores]


def test_a_child_is_charged_from_the_consent_on(club, coach, member, sets) -> None:
    child = make_membership(
        club, "Wee", standing=Standing.CONSENT, under_18=True, joined_at=MONDAY - 9 * DAY
    )
    assert spans(child) == []
    noon = MONDAY + 2 * DAY + 13 * HOUR
    accounts.note_consent(by=coach, membership=child, note="mother, a form", now=noon)
    assert spans(child) == [(noon, None, None)]
    table = week(coach)
    # Wednesday's set was open when the consent came: it is not charged either.
    assert charged(table, "Wee") == [None, None, None, 8, 8, 8, 8]
    assert [(one.member, one.sets, one.mean) for one in table.late] == [("Wee", 4, Fraction(8))]
    assert [one.member for one in table.rows] == ["Ines"]
    everybody = tables.all_time_table(coach, AFTER).rows
    assert {one.member: one.sets for one in everybody} == {"Ines": 7, "Wee": 4}


def test_a_set_partly_inside_is_shown_without_a_rank_and_enters_no_total(
    given, club, coach, member, sets
) -> None:
    late = make_membership(club, "Tuva", joined_at=sets[4].opens_at + HOUR)
    given.a_plan(late, sets[4], 1, LOSES_ONE, at=sets[4].opens_at + 2 * HOUR)
    given.a_plan(member, sets[4], 1, SOLVED, at=sets[4].opens_at + HOUR)
    table = tables.day_table(coach, sets[4].day, AFTER)
    assert [(one.rank, one.member) for one in table.rows] == [(1, "Ines")]
    (line,) = table.outside
    assert (line.member, line.score, line.cells[0].state) == ("Tuva", Score(1, 1, 0, 1), "solved")
    assert (table.handed_in, table.expected) == (1, 1)
    of_week = next(one for one in week(coach).late if one.member == "Tuva")
    assert of_week.set_scores[4].score is None
    assert of_week.set_scores[4].outside == Score(1, 1, 0, 1)
    assert (of_week.score.points, of_week.sets) == (16, 2)
    # Nor the totals of reviews, accounts and of what the club's others lost.
    found = visibility.reviewed_sets(coach, MONDAY, AFTER)
    assert accounts_of([late], found)[late.pk].total == 16
    review = member_review(late, AFTER, viewer=late)
    assert (review.plans, review.lost, sum(one.plans for one in review.weeks)) == (0, 0, 0)
    assert SetSummary.objects.get(membership=late).counts is False
    assert summaries.differences() == []


def test_an_archived_member_stays_as_on_leaving(given, club, coach, member, second, sets) -> None:
    given.a_plan(second, sets[0], 1, LOSES_ONE, at=sets[0].opens_at)
    given.a_plan(second, sets[2], 1, SOLVED, at=sets[2].opens_at)
    noon = MONDAY + 2 * DAY + 13 * HOUR
    accounts.archive_membership(by=coach, membership=second, now=noon)
    assert spans(second)[0][1:] == (noon, noon)
    table = week(coach)
    # Wednesday's set had not closed: it is shown, and enters no total.
    assert charged(table, "Bashir") == [1, 8, *[None] * 5]
    (line,) = table.late
    assert (line.mean, line.set_scores[2].outside) == (Fraction(9, 2), Score(0, 1, 1, 1))
    for later in (AFTER, AFTER + 50 * DAY):
        row = next(r for r in tables.all_time_table(coach, later).rows if r.member == "Bashir")
        assert (row.sets, row.mean) == (2, Fraction(9, 2))
    assert summaries.differences() == []


def test_who_returns_is_charged_for_nothing_in_between(coach, member, second, sets) -> None:
    first, back = MONDAY + DAY + HOUR, MONDAY + 4 * DAY
    accounts.archive_membership(by=coach, membership=second, now=first)
    accounts.reopen_membership(by=coach, membership=second, now=back)
    begin = NOON - 365 * DAY
    assert spans(second) == [(begin, first, first), (back, None, None)]
    # A set that opens at the very instant is inside.
    assert charged(week(coach), "Bashir") == [8, None, None, None, 8, 8, 8]


def test_a_coach_who_stops_is_in_for_the_sets_that_have_opened(given, club, member, sets) -> None:
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    noon = MONDAY + 2 * DAY + 13 * HOUR
    counting.choose_competing(by=racing, membership=racing, competes=False, now=noon)
    # Nobody leaves a bad day by a switch: Wednesday's set runs on, and its answers stay sealed.
    assert charged(week(member), "Rune") == [8, 8, 8, *[None] * 4]
    assert visibility.in_sealed_mode(racing, sets[2], noon + HOUR)
    assert not visibility.in_sealed_mode(racing, sets[3], sets[3].opens_at)
    again = MONDAY + 5 * DAY + HOUR
    counting.choose_competing(by=racing, membership=racing, competes=True, now=again)
    assert charged(week(member), "Rune") == [8, 8, 8, None, None, None, 8]
    log = list(club.deeds.values_list("what", "detail"))
    assert log == [("competing", "competes"), ("competing", "stays_out")]


def test_who_stops_and_begins_again_while_one_set_is_open_is_in_it_once(club, member, sets) -> None:
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    for hours, competes in ((1, False), (2, True), (3, False)):
        now = sets[2].opens_at + hours * HOUR
        counting.choose_competing(by=racing, membership=racing, competes=competes, now=now)
    assert charged(week(member), "Rune") == [8, 8, 8, *[None] * 4]


def test_who_stopped_and_is_archived_leaves_the_open_set_too(club, coach, owner, sets) -> None:
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    noon = sets[2].opens_at + 13 * HOUR
    counting.choose_competing(by=owner, membership=racing, competes=False, now=noon)
    accounts.archive_membership(by=owner, membership=racing, now=noon + HOUR)
    assert charged(week(coach), "Rune") == [8, 8, *[None] * 5]


def test_of_two_clubs_each_counts_for_itself(
    club, other_club, coach, outsider, given, sets
) -> None:
    here = make_membership(club, "Ada", joined_at=MONDAY - DAY)
    there = Membership.objects.create(
        club=other_club, person=here.person, display_name="Ada", joined_at=MONDAY + 2 * DAY
    )
    counting.follow(membership=there, now=there.joined_at)
    far = [
        given.a_set(one.opens_at, one.closes_at, scrambles=("R D",), club=other_club)
        for one in sets
    ]
    accounts.archive_membership(by=coach, membership=here, now=MONDAY + 4 * DAY)
    assert charged(week(coach), "Ada") == [8] * 4 + [None] * 3
    # In Tokyo the seventh closes on the Monday after.
    assert charged(week(outsider), "Ada") == [None] * 2 + [8] * 4
    assert len(far) == 7


def test_nobody_is_charged_before_the_first_sign_in(club, coach, clock) -> None:
    _invite, token = people.make_invite(by=coach, now=NOON)
    account = NewAccount("tuva", "Tuva", PHRASE)
    joined = people.join_by_invite(token=token, account=account, under_18=False, now=NOON)
    clock(NOON + HOUR)
    newcomers.let_in(by=coach, memberships=[joined], now=NOON + HOUR)
    assert spans(joined) == []
    clock(NOON + 2 * HOUR)
    Client().post("/sign-in/", {"sign_in_name": "tuva", "phrase": PHRASE})
    assert spans(joined) == [(NOON + 2 * HOUR, None, None)]
    Client().post("/sign-in/", {"sign_in_name": "tuva", "phrase": PHRASE})
    assert len(spans(joined)) == 1


def test_who_signed_in_and_waited_counts_from_when_a_coach_lets_in(club, coach, clock) -> None:
    _invite, token = people.make_invite(by=coach, now=NOON)
    clock(NOON)
    joined = people.join_by_invite(
        token=token, account=NewAccount("tuva", "Tuva", PHRASE), under_18=False, now=NOON
    )
    Client().post("/sign-in/", {"sign_in_name": "tuva", "phrase": PHRASE})
    assert spans(joined) == []
    newcomers.let_in(by=coach, memberships=[joined], now=NOON + HOUR)
    assert spans(joined) == [(NOON + HOUR, None, None)]


def test_a_program_that_signs_in_is_a_first_sign_in_too(club, member, client, clock) -> None:
    clock(NOON)
    Person.objects.filter(pk=member.person_id).update(last_login=None)
    CountingPeriod.objects.all().delete()
    sent = {"sign_in_name": "ines", "phrase": PHRASE}
    made = client.post("/api/v1/tokens/", sent, content_type="application/json")
    assert made.status_code == 201
    assert spans(member) == [(NOON, None, None)]


def test_a_consent_that_is_taken_back_ends_it_and_the_results_stay_nameless(
    given, club, coach, member, sets
) -> None:
    child = make_membership(
        club, "Wee", under_18=True, consent_noted_at=MONDAY - 9 * DAY, joined_at=MONDAY - 9 * DAY
    )
    given.a_plan(child, sets[0], 1, LOSES_ONE, at=sets[0].opens_at)
    gone = MONDAY + 2 * DAY + HOUR
    accounts.withdraw_consent(by=coach, membership=child, now=gone)
    assert spans(child)[0][1:] == (gone, gone)
    table = week(coach)
    assert charged(table, "a member") == [1, 8, *[None] * 5]
    assert "Wee" not in str(table)
    accounts.note_consent(by=coach, membership=child, note="father", now=MONDAY + 4 * DAY)
    assert charged(week(coach), "Wee") == [1, 8, None, None, 8, 8, 8]


def test_marks_of_age_and_roles_move_the_periods(club, owner, member, sets) -> None:
    noon = MONDAY + 13 * HOUR
    particulars.mark_age(by=owner, membership=member, under_18=True, now=noon)
    particulars.mark_age(by=owner, membership=member, under_18=False, now=noon + HOUR)
    assert spans(member)[0][1] == noon
    assert spans(member)[1] == (noon + HOUR, None, None)
    quiet = make_membership(club, "Sol", Role.COACH)
    assert spans(quiet) == []
    particulars.change_role(by=owner, membership=quiet, role=Role.MEMBER, now=noon)
    assert spans(quiet) == [(noon, None, None)]


def test_members_always_compete_and_only_who_may_says_of_a_coach(club, coach, member) -> None:
    from training.refusals import InvalidEntry, NotAllowed

    with pytest.raises(InvalidEntry, match="Members compete"):
        counting.choose_competing(by=coach, membership=member, competes=False)
    other = make_membership(club, "Rune", Role.COACH)
    with pytest.raises(NotAllowed):
        counting.choose_competing(by=coach, membership=other, competes=True)
    with pytest.raises(NotAllowed):
        counting.choose_competing(by=member, membership=member, competes=True)
    assert counting.choose_competing(by=other, membership=other, competes=True).competes


def test_a_clock_that_was_set_back_breaks_nothing(coach, member) -> None:
    accounts.archive_membership(by=coach, membership=member, now=NOON)
    accounts.reopen_membership(by=coach, membership=member, now=NOON - DAY)
    assert spans(member)[1] == (NOON, None, None)
    accounts.archive_membership(by=coach, membership=member, now=NOON - HOUR)
    # The period that had not begun is gone: nothing was charged in it.
    assert len(spans(member)) == 1


@pytest.mark.parametrize(
    "fields",
    [
        {"begins_at": NOON, "ends_at": NOON},
        {"begins_at": NOON, "left_at": NOON + DAY},
        {"begins_at": NOON, "ends_at": NOON + 2 * DAY, "left_at": NOON + DAY},
        {"begins_at": NOON - DAY},
        {"begins_at": NOON - 3 * DAY, "ends_at": NOON - DAY},
        {"begins_at": NOON - 9 * DAY, "ends_at": NOON},
    ],
)
def test_the_database_refuses_periods_that_cannot_be(coach, fields) -> None:
    there = {"begins_at": NOON - 2 * DAY, "ends_at": NOON - HOUR, "left_at": NOON - HOUR}
    CountingPeriod.objects.create(membership=coach, **there)
    with pytest.raises(IntegrityError), transaction.atomic():
        CountingPeriod.objects.create(membership=coach, **fields)
    apart = CountingPeriod.objects.create(membership=coach, begins_at=NOON - HOUR)
    with pytest.raises(IntegrityError), transaction.atomic():
        CountingPeriod.objects.filter(pk=apart.pk).update(begins_at=NOON - DAY)
