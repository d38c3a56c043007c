"""Texts that no database keeps and dates at the calendar's ends: refused in words, never a fault.

A character 0 is refused by PostgreSQL ("invalid byte sequence", its manual, 8.3); half a
character (a lone surrogate, RFC 8259, section 8.2) has no UTF-8 at all.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time
from typing import Any

import pytest
from django.test import RequestFactory

from tests.conftest import NOON, make_membership
from training import clock
from training.entry import Entry
from training.models import Membership, Plan, Role, Standing
from training.refusals import InvalidEntry, UnreadablePlan, WrongSignIn
from training.services import accounts, clubs, corrections, lesson_sets, people, plans, sign_in
from training.services.people import NewAccount

pytestmark = pytest.mark.django_db

ODD = ["\0", "\ud83d", "Zo\0ë", "kari\udc00"]
LONG = "four words to remember"


def start(**account: str) -> Callable[..., Any]:
    def act(text: str, **_: Any) -> object:
        token = people.make_owner_link(base_url="http://x").split("/start/")[1].strip("/")
        entry = {"sign_in_name": "tuva", "display_name": "Tuva", "phrase": LONG, **account}
        entry = {name: value.replace("?", text) for name, value in entry.items()}
        club_name = entry.pop("club_name", "Quay")
        return people.start_club(
            token=token,
            club_name=club_name,
            time_zone="Europe/Oslo",
            account=NewAccount(**entry),
        )

    return act


ENTRIES = {
    "sign_in_name": start(sign_in_name="?"),
    "display_name": start(display_name="?"),
    "phrase": start(phrase=f"{LONG} ?"),
    "club_name": start(club_name="?"),
    "note": lambda text, coach, child, **_: accounts.note_consent(
        by=coach, membership=child, note=text
    ),
    "reason": lambda text, coach, plan, **_: corrections.withdraw_plan(
        plan=plan, by=coach, reason=text
    ),
}


@pytest.mark.parametrize("text", ODD)
@pytest.mark.parametrize("field", ENTRIES)
def test_what_no_database_keeps_is_refused_at_its_field(
    club, coach, member, given, field, text
) -> None:
    child = make_membership(club, "Wee", under_18=True, standing=Standing.CONSENT)
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=False)
    with pytest.raises(InvalidEntry) as refused:
        ENTRIES[field](text, coach=coach, child=child, plan=plan)
    assert refused.value.field == field


@pytest.mark.parametrize("text", ODD)
def test_a_reason_for_a_day_off_that_no_database_keeps_is_refused(coach, text) -> None:
    with pytest.raises(InvalidEntry):
        clubs.add_day_off(by=coach, day=date(2026, 12, 24), reason=text, now=NOON)


@pytest.mark.parametrize("text", ODD)
@pytest.mark.parametrize("plan", ["D' R' // {}", "{} D' R'"])
def test_a_plan_with_such_a_character_is_refused_with_its_place(given, member, text, plan) -> None:
    written = plan.format(text)
    a_set = given.a_set()
    with pytest.raises(UnreadablePlan, match="invisible character") as refused:
        plans.hand_in(
            membership=member,
            scramble=given.scramble(a_set),
            entry=Entry(written),
            key="7f0c0d5e-8a45-4a6b-9f0a-7a5d3c2b1a00",
            now=NOON,
        )
    assert written[refused.value.extras["position"]] in "\0\ud83d\udc00"
    assert not Plan.objects.exists()


@pytest.mark.parametrize("text", ODD)
@pytest.mark.parametrize("field", ["sign_in_name", "phrase", "one_time_code"])
def test_signing_in_with_one_is_only_wrong(member, text, field) -> None:
    tried = {"sign_in_name": "ines", field: text} | ({"phrase": LONG} if field[0] == "s" else {})
    with pytest.raises(WrongSignIn):
        sign_in.prove(request=RequestFactory().post("/"), **tried)


def test_of_two_who_come_at_once_with_one_name_one_is_told(club, coach, monkeypatch) -> None:
    _, token = people.make_invite(by=coach, now=NOON)
    original = people._make_person

    def meanwhile(account: NewAccount) -> object:
        made = original(account)
        make_membership(club, "Tuva")
        return made

    monkeypatch.setattr(people, "_make_person", meanwhile)
    with pytest.raises(InvalidEntry, match="already called Tuva") as refused:
        people.join_by_invite(
            token=token, account=NewAccount("tuva2", "Tuva", LONG), under_18=False, now=NOON
        )
    assert refused.value.field == "display_name"
    assert not Membership.objects.filter(person__sign_in_name="tuva2").exists()
    assert coach.club.invites.get().taken == 0
    assert Membership.objects.filter(role=Role.COACH).count() == 1


@pytest.mark.parametrize("day", [date.min, date.max, date(1999, 12, 31), date(2101, 1, 1)])
def test_dates_out_of_reach_are_refused_in_words(coach, day) -> None:
    asked = {"by": coach, "code": "base_turn", "scrambles": 2, "lengths": (4, 6), "now": NOON}
    with pytest.raises(InvalidEntry, match="between 2000 and 2100"):
        lesson_sets.make_homework(**asked, opens_day=day, days=28)
    with pytest.raises(InvalidEntry, match="between 2000 and 2100"):
        lesson_sets.make_club_night(**asked, day=day, begins=time(18, 0), minutes=60)
    clubs.remove_day_off(by=coach, day=day)


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Niue", "UTC"])
@pytest.mark.parametrize("day", [date(2000, 1, 1), date(2100, 12, 31)])
def test_every_day_in_reach_has_a_window_in_every_zone(zone, day) -> None:
    # The zones furthest ahead of and behind UTC (IANA tz): +14 and -11 hours.
    assert clock.is_in_reach(day)
    window = clock.window_of_day(day, clock.MIDNIGHT, clock.MIDNIGHT, clock.ZoneInfo(zone))
    assert clock.closing_day(window.closes_at, clock.ZoneInfo(zone)) == day
