"""Every string of every page, form error and picture can be said in another tongue.

The pages are asked for in a made-up tongue of capitals; what is left in small letters was never
marked for translation. Names of people and clubs are written in capitals here, for they are data.
"""

from __future__ import annotations

import uuid
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import transaction
from django.db.models.functions import Upper
from django.urls import get_resolver
from django.utils import timezone

from clubsite import surroundings
from tests.conftest import NOON, Given, make_membership
from tests.history import past, plans_with_pairs, weeks_of_plans
from tests.training.challenged import in_each_state
from tests.web.anybodys_pages import pages_of_anybody
from tests.web.attempt_pages import pages_of_attempts
from tests.web.challenge_pages import pages_of_challenges
from tests.web.conftest import reader_for
from tests.web.corrected import correct_results
from tests.web.people_pages import pages_about_people
from tests.web.planned import pages_planned, plan_days
from tests.web.tongue import left_over
from tests.web.wrong_entries import WRONG
from training import clock as dates
from training.models import (
    Club,
    Done,
    Drawn,
    Kind,
    Membership,
    Outlook,
    Person,
    Plan,
    PlanStatus,
    Question,
    Role,
    Season,
    Standing,
)
from training.selectors.group_reviews import HABITS
from training.services import accounts, deeds, erasing, people
from training.services.clubs import add_day_off
from training.services.corrections import withdraw_plan
from training.services.lesson_sets import make_club_night, make_homework
from training.services.posting import publish
from training.services.practice import prepare
from training.web import urls

ROOT = "/c/lantern-street"

OF_ONESELF = {Done.SIGN_IN_NAME, Done.SIGNED_OUT, Done.OUTSIDE}
"""What nobody does to somebody else."""

# The same in every tongue: this site's name, notation, zones and hosts, initials, programs.
SAME = frozenset(
    (
        *("Within", "Eight", "Rw", "Lw", "Uw", "Dw", "Fw", "Bw", "UTC", "CSV", "testserver"),
        *("http", "SQLite", "PostgreSQL", "Python", "Django", "Celery", "Waitress"),
    )
)


@pytest.fixture
def club(db: None) -> Club:
    return Club.objects.create(
        name="LANTERN STREET",
        slug="lantern-street",
        time_zone="UTC",
        colours=["white", "yellow"],
    )


class LivedIn:
    """A club in which everything has happened that a page can tell of."""

    def __init__(self, given: Given) -> None:
        club = given.club
        self.club = club
        self.night_series, self.once = plan_days(club)
        self.owner = make_membership(club, "ODD", Role.OWNER)
        self.coach = make_membership(club, "KARI", Role.COACH)
        self.rival = make_membership(club, "RUNA", Role.COACH, competes=True)
        self.member = make_membership(club, "INES")
        self.second = make_membership(club, "BASHIR")
        self.newcomer = make_membership(club, "NOOR", joined_at=NOON - timedelta(days=3))
        make_membership(club, "CHILD", standing=Standing.CONSENT, under_18=True, joined_at=NOON)
        self.archived = make_membership(club, "GONE", standing=Standing.ARCHIVED)
        Person.objects.update(sign_in_name=Upper("sign_in_name"))
        weeks_of_plans(given, self.member, 8, answered=False)
        weeks_of_plans(given, self.second, 8, answered=True)
        opens = NOON - timedelta(days=3, hours=12)
        self.old = given.a_set(opens=opens, closes=opens + timedelta(days=1))
        past(given, self.member, self.old, "D' R'", "U D' R' U'", "R", None)
        past(given, self.second, self.old, "D' R'", "", "M2 x y2 z")
        past(given, self.newcomer, self.old, "D' R'")
        self.archived.counting_periods.create(
            begins_at=NOON - timedelta(days=90),
            ends_at=NOON - timedelta(days=30),
            left_at=NOON - timedelta(days=30),
            estimated=True,
        )
        self.today = given.a_set(colours=["white", "yellow"], spare="R U")
        given.a_plan(self.member, self.today, 1, "D' R'")
        given.a_plan(self.member, self.today, 2, "R", checked=False)
        failed = given.a_plan(self.member, self.today, 3, "R", checked=False)
        Plan.objects.filter(pk=failed.pk).update(
            status=PlanStatus.FAILED, failure_reason="THE CHECKER FAILED"
        )
        self.withdrawn_plan = Plan.objects.get(
            scramble__scramble_set=self.old, scramble__number=3, membership=self.second
        )
        withdraw_plan(plan=self.withdrawn_plan, by=self.coach, reason="WRONG CUBE")
        self.plan = Plan.objects.get(
            scramble__scramble_set=self.old, scramble__number=2, membership=self.member
        )
        self.failed = failed
        self.leaves = given.a_set(
            opens=opens,
            closes=opens + timedelta(days=2),
            day=date(2026, 11, 21),
            scrambles=("B U2 F B U B'",) * 4,
            colours=["white"],
        )
        plans_with_pairs(self.member, self.leaves)
        Outlook.objects.filter(plan__scramble__scramble_set=self.today).update(version=0)
        given.a_set(
            opens=opens,
            closes=opens + timedelta(days=2),
            kind=Kind.HOMEWORK,
            drawn=Drawn.PICKED,
            day=date(2026, 11, 20),
        )
        common = {"by": self.coach, "code": "base_turn", "scrambles": 2, "lengths": (3, 5)}
        tomorrow = dates.local_date(NOON, club.zone) + timedelta(days=1)
        make_homework(**common, opens_day=tomorrow, days=3, now=NOON)
        make_club_night(**common, day=tomorrow, begins=timezone.now().time(), minutes=60, now=NOON)
        add_day_off(by=self.coach, day=date(2026, 12, 24), reason="FEAST", now=NOON)
        _, self.invite = people.make_invite(by=self.owner, now=NOON)
        people.make_invite(by=self.owner, role=Role.COACH, places=1, now=NOON)
        prepare(membership=self.second, now=NOON)
        self.corrected = correct_results(given, self)
        self.challenges = in_each_state(given, self.coach, self.member, self.second)
        self.public = publish(club=club, by=self.owner, now=NOON)
        self.former = make_membership(club, "LEFT")
        self.withdrawn = make_membership(
            club, "LIV", standing=Standing.CONSENT, under_18=True, joined_at=NOON
        )
        Person.objects.update(sign_in_name=Upper("sign_in_name"))
        self.everything_is_noted()

    def everything_is_noted(self) -> None:
        """A line in the log for each kind of thing."""
        for who in (self.former, self.coach):
            who.person.refresh_from_db()
        accounts.note_consent(by=self.coach, membership=self.withdrawn, note="MOTHER, BY LETTER")
        accounts.withdraw_consent(by=self.coach, membership=self.withdrawn)
        for by in (self.coach, None, self.member):
            for what in Done:
                detail = {Done.ROLE: "coach", Done.AGE: "under_18"}.get(what, "1")
                if by == self.member or what not in OF_ONESELF:
                    deeds.note(what=what, by=by, whom=self.member, detail=detail, now=NOON)
        erasing.erase_membership(by=self.coach, membership=self.former, typed="LEFT")


@pytest.fixture
def lived_in(given: Given) -> LivedIn:
    return LivedIn(given)


def pages_of(there: LivedIn) -> dict[str, list[tuple[Membership | None, str]]]:
    """By the name of an address: who asks for which page."""
    old, today = f"{ROOT}/sets/{there.old.pk}/", f"{ROOT}/sets/{there.today.pk}/"
    me, other, coach = there.member, there.second, there.coach
    everybody = (me, other, coach, there.rival, there.newcomer, there.owner)
    return {
        **pages_of_anybody(me, coach),
        "first": [(None, "/"), (None, "/?way=1&step=2"), (there.archived, "/")],
        "phrase": [(me, "/phrase/")],
        "devices": [(me, "/devices/")],
        "join": [(None, f"/join/{there.invite}/"), (None, "/join/nothing/")],
        "start": [(None, f"/start/{people.make_owner_link(base_url='').split('/')[2]}/")],
        "today": [(who, f"{ROOT}/today/") for who in (*everybody, there.archived, there.withdrawn)],
        "set": [(me, old), (me, today), (coach, today)],
        **pages_of_attempts(there, today, old),
        "table": [],
        **pages_of_challenges(there),
        "table_day": [(who, f"{ROOT}/table/day/2026-11-25/") for who in everybody]
        + [(me, f"{ROOT}/table/day/2026-11-22/"), (me, f"{ROOT}/table/day/2030-01-01/")],
        "table_week": [(who, f"{ROOT}/table/week/2026-11-23/") for who in everybody],
        "table_all": [(who, f"{ROOT}/table/all/") for who in everybody],
        "table_set": [(who, f"{old}table/") for who in everybody],
        "earlier": [(who, f"{ROOT}/earlier/?kind=homework") for who in everybody],
        "coach_member_plans": [
            (who, f"{ROOT}/coach/members/{me.pk}/plans/?day=2026-11-25")
            for who in (coach, there.rival)
        ],
        "progress": [(who, f"{ROOT}/progress/") for who in everybody],
        "plans": [(me, f"{ROOT}/plans/"), (there.newcomer, f"{ROOT}/plans/")],
        "practice": [(who, f"{ROOT}/practice/") for who in everybody],
        "coach": [(who, f"{ROOT}/coach/") for who in (me, coach, there.rival)],
        "coach_set": [(coach, f"{ROOT}/coach/sets/{one.pk}/") for one in (there.old, there.today)],
        "correct_set": [
            (coach, f"{ROOT}/coach/sets/{one.pk}/correct/") for one in (there.old, there.today)
        ],
        "corrections": [(coach, f"{ROOT}/coach/corrections/")],
        "coach_plan": [
            (coach, f"{ROOT}/coach/plans/{plan.pk}/")
            for plan in (
                *(there.plan, there.withdrawn_plan, there.failed, *there.corrected),
                *Plan.objects.filter(scramble__scramble_set=there.leaves),
            )
        ],
        "coach_member": [(coach, f"{ROOT}/coach/members/{who.pk}/") for who in (me, other)],
        "coach_review": [
            (coach, f"{ROOT}/coach/review/{query}")
            for query in ("", "?weeks=26&sort=-lost", "?drawn=picked")
        ],
        "lesson": [
            (coach, f"{ROOT}/coach/lessons/{code}/{names}")
            for code in ("base_turn", "flipped_insert", *HABITS)
            for names in ("", "?names=1")
        ],
        **pages_about_people(coach, me),
        "people": [(there.owner, f"{ROOT}/people/"), (coach, f"{ROOT}/people/")],
        "settings": [(coach, f"{ROOT}/settings/")],
        **pages_planned(there),
        "series": [
            (coach, f"{ROOT}/settings/series/{one.pk}/")
            for one in (there.club.first_series, there.night_series)
        ],
        "new_series": [(coach, f"{ROOT}/settings/series/new/")],
        "hooks": [(there.owner, f"{ROOT}/hooks/")],
        "export": [(there.owner, f"{ROOT}/export/")],
        "site": [(there.owner, f"{ROOT}/site/")],
        "own_data": [(who, "/data/") for who in (*everybody, there.archived, there.withdrawn)],
        "erase_own": [(who, "/data/erase/") for who in (me, coach, there.owner)],
        "member": [
            (by, f"{ROOT}/people/{who.pk}/about/")
            for by in (coach, there.owner)
            for who in (me, coach, there.owner, there.withdrawn, there.archived)
        ],
        "member_data": [
            (there.owner, f"{ROOT}/people/{who.pk}/data/") for who in (me, coach, there.withdrawn)
        ],
        "erase_member": [
            (there.owner, f"{ROOT}/people/{who.pk}/erase/") for who in (me, coach, there.owner)
        ],
        "log": [(there.owner, f"{ROOT}/log/"), (coach, f"{ROOT}/log/")],
    }


NO_PAGES = {
    *("sign_out", "echo", "person", "coach_review_csv", "calendar_file", "public_feed"),
    *("manifest", "service_worker"),
}
"""Addresses that answer with a part of a page, a file or another address."""


def test_every_page_speaks_the_readers_tongue(
    lived_in: LivedIn, in_capitals: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The name of a commit is the same in every tongue, small letters and all.
    surroundings._programs.cache_clear()
    monkeypatch.setattr(surroundings.checkout, "commit", lambda: "0" * 40)
    pages = pages_of(lived_in)
    names = {pattern.name for pattern in urls.urlpatterns}
    assert set(pages) | NO_PAGES == names
    troubles = []
    for asked in pages.values():
        for who, address in asked:
            response = reader_for(who).client.get(address)
            assert response.status_code != 500, address
            found = left_over(response.content.decode(), SAME)
            troubles += [f"{address} as {who}: {text}" for text in dict.fromkeys(found)]
    assert not troubles, "\n".join(dict.fromkeys(troubles))


def test_there_is_an_address_for_each_name(lived_in: LivedIn) -> None:
    """The list above is of this site: every name resolves."""
    assert {name for name in get_resolver().reverse_dict if isinstance(name, str)} >= set(
        pages_of(lived_in)
    )


def refused(who: str, address: str, data: dict[str, Any], there: LivedIn) -> list[str]:
    """What the answer to one wrong entry has left in small letters. Nothing of it is kept."""
    child = Membership.objects.get(display_name="CHILD")
    filled = address.format(
        invite=there.invite,
        child=child.pk,
        member=there.member.pk,
        plan=there.plan.pk,
        today=there.today.pk,
        old=there.old.pk,
        series=there.night_series.pk,
        season=Season.objects.get().pk,
        questions_set=there.challenges["questions"].scramble_set_id,
        **{name: one.pk for name, one in there.challenges.items()},
        once=there.once.pk,
    )
    if data.get("question"):
        waiting = Question.objects.waiting().get()
        data = {**data, "question": str(waiting.pk)}
    data = {n: there.member.pk if one == "{member}" else one for n, one in data.items()}
    if "/sets/" in address:
        data = {"key": str(uuid.uuid4()), **data}
    reader = reader_for(getattr(there, who) if who else None)
    with transaction.atomic():
        response = reader.client.post(filled, data, follow=True)
        transaction.set_rollback(True)
    assert response.status_code in {200, 400, 401, 403, 404, 409, 410, 429}, (filled, data)
    return [f"{filled} {data}: {text}" for text in left_over(response.content.decode(), SAME)]


def test_every_refusal_does_too(lived_in: LivedIn, in_capitals: None) -> None:
    troubles = [text for one in WRONG for text in refused(*one, lived_in)]
    assert not troubles, "\n".join(troubles)


@pytest.fixture(autouse=True)
def _no_lock(settings: Any) -> None:
    settings.AXES_ENABLED = False


def test_the_tongue_finds_what_is_not_marked() -> None:
    page = "<p>TODAY</p><svg><title>a picture</title></svg><button aria-label='Close it'>X</button>"
    assert left_over(page) == ["a picture", "Close it"]


def test_a_reader_without_script_is_the_same(lived_in: LivedIn) -> None:
    """The names in this file are data: without the made-up tongue the pages are in English."""
    page = reader_for(lived_in.member).get(f"{ROOT}/today/")
    assert left_over(page, SAME)
