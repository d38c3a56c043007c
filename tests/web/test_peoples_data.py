"""Pages about what is kept of people: seen, put right, erased, told in plain words."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from knox.settings import knox_settings

from tests.conftest import NOON, PHRASE, make_membership
from tests.web.conftest import ROOT, reader_for, words
from training import retention
from training.agreement import CURRENT, TEXTS
from training.models import Deed, Membership, Person, Role, Standing
from training.services import accounts, failures

pytestmark = pytest.mark.django_db


# My data ------------------------------------------------------------------------


def test_a_member_sees_what_is_kept_and_downloads_it(given, member) -> None:
    given.a_plan(member, given.a_set(), 1, "D2 D R' // my word")
    me = reader_for(member)
    page = words(me.get("/data/"))
    for said in ("Ines", "D2 D R' // my word", "1 over the best", "Lantern Street"):
        assert said in page
    link = me.get("/data/").partition('href="/api/v1/me/data/"')[1]
    assert link
    answer = me.client.get("/api/v1/me/data/")
    assert answer["Content-Disposition"] == 'attachment; filename="within-eight-my-data.json"'
    assert answer.json()["clubs"][0]["plans"][0]["written"] == "D2 D R' // my word"


def test_whoever_cannot_get_into_a_club_still_sees_and_erases_their_own(club, coach) -> None:
    for standing in (Standing.ARCHIVED, Standing.CONSENT, Standing.WAITING):
        who = make_membership(club, f"Liv {standing}", standing=standing)
        Person.objects.filter(pk=who.person_id).update(sign_in_name=f"liv-{standing}")
        who.person.refresh_from_db()
        me = reader_for(who)
        assert f"Liv {standing}" in me.get("/data/")
        page = me.post("/data/erase/", {"phrase": PHRASE})
        assert "Your sign-in is gone too" in words(page)
        assert not Person.objects.filter(pk=who.person_id).exists()


def test_names_are_put_right_on_the_same_page(member, second) -> None:
    me = reader_for(member)
    me.post("/data/", {"do": "sign_in_name", "sign_in_name": "ines-b"}, status=302)
    name = {"do": "display_name", "club": "lantern-street", "display_name": "Inés"}
    me.post("/data/", name, status=302)
    member.refresh_from_db()
    assert (member.display_name, member.person.sign_in_name) == ("Inés", "ines-b")
    said = words(me.post("/data/", {**name, "display_name": "Bashir"}, status=400))
    assert "Somebody in this club is already called Bashir" in said
    me.post("/data/", {**name, "club": "far-shore"}, status=400)


def test_an_erase_is_seen_first_and_asks_for_the_phrase(given, member) -> None:
    given.a_plan(member, given.a_set(), 1, "D2 D R'")
    me = reader_for(member)
    before = words(me.get("/data/erase/"))
    assert "1 plan as numbers of “a former member”" in before
    assert str(retention.COPIES_BEFORE_UPGRADES) in before
    me.post("/data/erase/", {"phrase": "not my own phrase"}, status=400)
    assert Person.objects.filter(pk=member.person_id).exists()
    after = words(me.post("/data/erase/", {"phrase": PHRASE}))
    assert "1 plan as numbers of “a former member”" in after
    assert me.client.get("/data/").status_code == 302
    table = words(reader_for(make_membership(given.club, "Kari", Role.COACH)).get(f"{ROOT}/coach/"))
    assert "Ines" not in table


def test_the_last_owner_is_told_what_to_do(owner) -> None:
    page = words(reader_for(owner).post("/data/erase/", {"phrase": PHRASE}, status=409))
    assert "Make somebody else an owner first" in page


def test_a_coachs_code_opens_no_erase_and_shows_that_club_alone(
    club, other_club, coach, member
) -> None:
    Membership.objects.create(club=other_club, person=member.person, display_name="Far Ines")
    code = accounts.make_sign_in_code(by=coach, membership=member)
    browser = Client()
    browser.post("/code/", {"sign_in_name": "ines", "code": code})
    assert browser.get("/data/erase/").status_code == 403
    page = browser.get("/data/").content.decode()
    assert "Lantern Street" in page
    assert "Far" not in page
    answer = browser.post("/data/", {"do": "sign_in_name", "sign_in_name": "mine-now"})
    assert answer.status_code == 400
    assert not Person.objects.filter(sign_in_name="mine-now").exists()


# A coach's page about somebody -----------------------------------------------------------


def about(who: Membership, page: str = "about") -> str:
    return f"{ROOT}/people/{who.pk}/{page}/"


def test_a_coach_puts_right_a_name_and_an_age(coach, member) -> None:
    reader = reader_for(coach)
    reader.post(about(member), {"do": "rename", "display_name": "Inés"}, status=302)
    reader.post(about(member), {"do": "age", "age": "under"}, status=302)
    member.refresh_from_db()
    assert (member.display_name, member.standing) == ("Inés", Standing.CONSENT)
    assert "until a guardian’s consent is noted" in words(reader.get(about(member)))
    reader.post(about(member), {"do": "role", "role": "coach"}, status=403)


def test_an_owner_makes_a_second_owner_and_hands_over(owner, coach, member) -> None:
    reader = reader_for(owner)
    reader.post(about(coach), {"do": "role", "role": "owner"}, status=302)
    reader.post(about(member), {"do": "role", "role": "hand_over"}, status=302)
    roles = {one.display_name: one.role for one in Membership.objects.all()}
    assert roles == {"Odd": "coach", "Kari": "owner", "Ines": "owner"}


def test_a_consent_is_shown_with_its_text_and_taken_back(club, coach) -> None:
    child = make_membership(club, "Pim", standing=Standing.CONSENT, under_18=True)
    reader = reader_for(coach)
    assert str(TEXTS[CURRENT]) in words(reader.get(f"{ROOT}/people/"))
    accounts.note_consent(by=coach, membership=child, note="mother, signed form", now=NOON)
    page = words(reader.get(about(child)))
    for said in ("mother, signed form", "Kari", f"Text {CURRENT}: The child may", "today at 13:00"):
        assert said in page
    reader.post(about(child), {"do": "withdraw_consent"}, status=302)
    assert "Consent withdrawn" in words(reader.get(about(child)))
    closed = words(reader_for(child).get(f"{ROOT}/today/", status=403))
    assert "You have done nothing wrong" in closed
    assert "You have done nothing wrong" in words(reader_for(child).get("/"))
    assert "The consent was withdrawn" in words(reader.get(f"{ROOT}/people/"))


def test_a_coach_reads_out_and_erases_for_a_guardian(coach, member, owner) -> None:
    reader = reader_for(coach)
    assert "Ines" in reader.get(about(member, "data"))
    reader.post(about(member, "erase"), {"typed": "Bashir"}, status=400)
    said = words(reader.post(about(member, "erase"), {"typed": "ines"}))
    # Whether another club knows somebody is nothing that a coach is told.
    assert "The sign-in went too if no other club knows it." in said
    reader.get(about(member), status=404)
    log = words(reader_for(owner).get(f"{ROOT}/log/"))
    assert "Kari read what the club keeps of a former member." in log
    assert "Kari erased what the club kept of a former member." in log
    assert "Ines" not in log


def test_who_is_not_a_coachs_to_manage_is_not_read_out(coach, owner) -> None:
    reader = reader_for(coach)
    for page in ("data", "erase"):
        answer = reader.client.get(about(owner, page))
        assert answer.status_code in {302, 403}
        assert "zone" not in answer.content.decode()
    assert not Deed.objects.exists()


# The log ----------------------------------------------------------------------------


def test_the_log_is_linked_and_open_for_owners_alone(owner, coach, member) -> None:
    assert f'href="{ROOT}/log/"' in reader_for(owner).get(f"{ROOT}/people/")
    assert f'href="{ROOT}/log/"' not in reader_for(coach).get(f"{ROOT}/people/")
    for who in (coach, member):
        reader_for(who).get(f"{ROOT}/log/", status=403)
    accounts.make_owner_code(sign_in_name="odd")
    page = words(reader_for(owner).get(f"{ROOT}/log/"))
    assert "Whoever runs the server made a sign-in card for Odd." in page


def test_a_long_log_goes_on_on_another_page(owner, coach, member) -> None:
    from training.models import Done
    from training.services import deeds

    for minute in range(101):
        at = NOON - timedelta(minutes=minute)
        deeds.note(what=Done.CARD, by=coach, whom=member, now=at)
    first = reader_for(owner).get(f"{ROOT}/log/")
    assert "?from=100" in first
    assert reader_for(owner).get(f"{ROOT}/log/?from=100").count("Kari made") == 1


def test_everything_that_can_be_noted_has_a_sentence() -> None:
    """A kind of line without words would be a page that cannot be read."""
    from training.models import Done
    from training.selectors.deeds import LogLine
    from training.web.saying.deeds import log_sentence

    for what in Done:
        detail = {Done.ROLE: "coach"}.get(what, "1")
        said = log_sentence(LogLine(1, NOON, what, "Ines", "Ines", True, detail))
        assert "Ines" in said


# The privacy page ---------------------------------------------------------------------


def test_the_numbers_on_the_privacy_page_are_those_that_delete() -> None:
    page = words(reader_for(None).get("/privacy/"))
    for days in (
        retention.LOG_DAYS,
        retention.ACCESS_DAYS,
        failures.DEVICE_DAYS,
        accounts.CODE_DAYS,
        settings.SESSION_COOKIE_AGE // 86400,
        knox_settings.TOKEN_TTL.days,
    ):
        assert f"{days} days" in page
    assert f"newest {retention.COPIES_BEFORE_UPGRADES} are kept" in page
    assert "local law may ask for more" in page
    assert str(TEXTS[CURRENT]) in page


def test_it_is_linked_from_joining_and_from_every_foot(member, coach) -> None:
    from training.services import people

    _, token = people.make_invite(by=coach)
    join = reader_for(None).get(f"/join/{token}/")
    assert join.count('href="/privacy/"') == 2
    for reader, address in ((reader_for(None), "/"), (reader_for(member), f"{ROOT}/today/")):
        assert 'href="/privacy/"' in reader.get(address)
