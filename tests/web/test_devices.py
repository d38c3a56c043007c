"""Where somebody is signed in: the list, ending one, ending all. What is typed can be shown.

Common practice (OWASP ASVS 5.0, 7.4 and 7.5: all active sessions can be viewed and ended).
"""

from __future__ import annotations

import importlib
import re
from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.db import connection
from django.test import Client
from rest_framework.test import APIClient

from tests.conftest import NOON, PHRASE
from tests.web.conftest import ROOT, reader_for, words
from training.models import Club, Deed, Membership, Scope, SignedIn
from training.services import accounts
from training.services.tokens import make_token
from training.user_agents import known_as

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

# As these browsers send them, shortened nowhere.
FIREFOX = "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0"
PHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 "
    "(KHTML, like Gecko) Version/18.5 Mobile/15E148 Safari/604.1"
)


def comes(agent: str, name: str = "ines") -> Client:
    """Somebody who signs in with a browser."""
    client = Client(headers={"user-agent": agent})
    entry = {"sign_in_name": name, "phrase": PHRASE}
    assert client.post("/sign-in/", entry).status_code == 302
    return client


def is_in(client: Client) -> bool:
    return client.get(f"{ROOT}/today/").status_code == 200


def shown_by(client: Client) -> str:
    answer = client.get("/devices/")
    assert answer.status_code == 200
    return answer.content.decode()


def test_each_browser_and_program_with_this_one_marked(member: Membership, clock) -> None:
    phone = comes(PHONE)
    clock(NOON + timedelta(minutes=5))
    desk = comes(FIREFOX)
    make_token(person=member.person, program="clubtool")
    said = words(shown_by(desk))
    assert "Firefox on Linux this one signed in today at 13:05" in said
    assert "Safari on iPhone signed in today at 13:00" in said
    may = "It may read what is yours: sets, your plans and verdicts, tables."
    assert f"clubtool opens Lantern Street {may} signed in today at 13:05" in said
    assert "Safari on iPhone this one" in words(shown_by(phone))


def test_no_key_and_no_token_stands_on_the_page(member: Membership) -> None:
    phone, desk = comes(PHONE), comes(FIREFOX)
    _, secret = make_token(person=member.person, scopes=Scope)
    page = shown_by(desk)
    for one in (*Session.objects.values_list("pk", flat=True), secret[:15], secret):
        assert one not in page
    assert is_in(phone)


def test_ending_one_ends_that_one(member: Membership, second: Membership) -> None:
    phone, desk, other = comes(PHONE), comes(FIREFOX), comes(FIREFOX, "bashir")
    api = APIClient()
    api.credentials(
        HTTP_AUTHORIZATION=f"Bearer {make_token(person=member.person, scopes=Scope)[1]}"
    )
    page = shown_by(desk)
    line = re.search(r"iPhone</b>.*?name=\"browser\" value=\"(\d+)\"", page, re.DOTALL)
    program = re.search(r'name="program" value="(\w+)"', page)
    assert line
    assert program
    desk.post("/devices/", {"browser": line[1]})
    assert [is_in(one) for one in (phone, desk, other)] == [False, True, True]
    assert api.get("/api/v1/me/").status_code == 200
    desk.post("/devices/", {"program": program[1]})
    assert api.get("/api/v1/me/").status_code == 401


def test_nobody_ends_anothers(member: Membership, second: Membership) -> None:
    desk, other = comes(FIREFOX), comes(FIREFOX, "bashir")
    token = make_token(person=member.person, scopes=Scope)[0]
    handle = re.search(r'name="program" value="(\w+)"', shown_by(desk))
    assert handle
    browser = SignedIn.objects.get(person=member.person).pk
    for entry in ({"browser": browser}, {"program": handle[1]}, {"browser": "9" * 30}, {}):
        assert other.post("/devices/", entry).status_code == 302
    assert is_in(desk)
    token.refresh_from_db()


def test_everywhere_is_everywhere_and_a_line_of_the_log(
    member: Membership, second: Membership
) -> None:
    phone, desk, other = comes(PHONE), comes(FIREFOX), comes(FIREFOX, "bashir")
    # One that no list has, as of an older version.
    unlisted = reader_for(member).client
    api = APIClient()
    api.credentials(
        HTTP_AUTHORIZATION=f"Bearer {make_token(person=member.person, scopes=Scope)[1]}"
    )
    answer = desk.post("/devices/", {"do": "everywhere"}, follow=True)
    assert "You are signed out everywhere." in words(answer.content.decode())
    assert [is_in(one) for one in (phone, desk, unlisted, other)] == [False, False, False, True]
    assert api.get("/api/v1/me/").status_code == 401
    assert [one.what for one in Deed.objects.all()] == ["signed_out"]
    assert is_in(comes(FIREFOX))


def test_signing_out_and_a_new_phrase_end_up_in_the_list(member: Membership) -> None:
    phone, desk = comes(PHONE), comes(FIREFOX)
    phone.post("/sign-out/")
    assert "iPhone" not in words(shown_by(desk))
    entry = {"old_phrase": PHRASE, "phrase": "eleven slow snails"}
    assert desk.post("/phrase/", entry).status_code == 302
    assert words(shown_by(desk)).count("signed in today") == 1


def test_a_coachs_code_shows_and_ends_nothing(
    coach: Membership, member: Membership, other_club: Club
) -> None:
    """Tokens name the other clubs; and whoever came by a code ends nobody's devices."""
    Membership.objects.create(club=other_club, person=member.person, display_name="I")
    desk = comes(FIREFOX)
    code = accounts.make_sign_in_code(by=coach, membership=member)
    thief = Client()
    thief.post("/code/", {"sign_in_name": "ines", "code": code})
    assert is_in(thief)
    for answer in (thief.get("/devices/"), thief.post("/devices/", {"do": "everywhere"})):
        assert answer.status_code == 403
        assert "Far Shore" not in answer.content.decode()
    assert is_in(desk)


def test_sessions_of_older_versions_are_listed_as_far_as_known(member: Membership) -> None:
    desk = comes(FIREFOX)
    SignedIn.objects.all().delete()
    module = "training.migrations.0016_where_people_are_signed_in"
    importlib.import_module(module).note_sessions_of_today(
        apps, SimpleNamespace(connection=connection)
    )
    assert "A browser this one signed in today at 13:00" in words(shown_by(desk))


@pytest.mark.parametrize(
    ("agent", "known"),
    [
        (FIREFOX, ("Firefox", "Linux")),
        (PHONE, ("Safari", "iPhone")),
        (
            "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) "
            "Chrome/138.0.0.0 Safari/537.36 Edg/138.0.0.0",
            ("Edge", "Windows"),
        ),
        (
            "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) "
            "Chrome/138.0.0.0 Mobile Safari/537.36",
            ("Chrome", "Android"),
        ),
        ("python-requests/2.32.4", ("python-requests", "")),
        ("<script>alert(1)</script>", ("", "")),
        ("Mozilla/5.0", ("", "")),
        ("x" * 200, ("", "")),
    ],
)
def test_what_somebody_comes_with_is_known_roughly(agent: str, known: tuple[str, str]) -> None:
    assert known_as(agent) == known


@pytest.mark.parametrize("address", ["/sign-in/", "/phrase/", "/devices/"])
def test_the_foot_leads_there_and_fields_can_be_shown(member: Membership, address: str) -> None:
    reader = reader_for(None if address == "/sign-in/" else member)
    page = reader.get(address)
    hidden = re.findall(r'<input type="password"[^>]*>', page)
    assert all('data-show="Show it"' in one for one in hidden)
    assert bool(hidden) is (address != "/devices/")
    assert ("/show_phrase." in page) is bool(hidden)
    assert ('href="/devices/"' in page) is (address != "/sign-in/")
