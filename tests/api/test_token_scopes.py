"""What a token lets a program do: the least unless more was chosen, and nothing beyond it.

RFC 6750, section 3.1 (insufficient_scope); the rest is common practice, no source.
"""

from __future__ import annotations

import uuid
from datetime import timedelta
from importlib import import_module
from types import SimpleNamespace
from typing import Any

import pytest
from django.apps import apps
from django.db import connection
from rest_framework.test import APIClient

from tests.api.conftest import API
from tests.conftest import NOON, PHRASE, Given
from tests.web.conftest import reader_for, words
from training.models import Membership, Scope, TokenReach
from training.services.tokens import make_token

CLUB = f"{API}clubs/lantern-street/"


def program(who: Membership, *scopes: str) -> APIClient:
    client = APIClient()
    _, secret = make_token(person=who.person, scopes=scopes or (Scope.READ_OWN,))
    client.credentials(HTTP_AUTHORIZATION=f"Bearer {secret}")
    return client


def code_of(answer: Any) -> str:
    """Which kind of problem an answer is: its type is the address of that kind's page."""
    return str(answer.json()["type"].rpartition("/")[2])


def sign_in(**more: Any) -> Any:
    body = {"sign_in_name": "ines", "phrase": PHRASE, **more}
    return APIClient().post(f"{API}tokens/", body, format="json")


class TestSigningIn:
    def test_gives_the_least_unless_more_is_asked_for(self, member: Membership) -> None:
        assert sign_in().json()["scopes"] == ["read_own"]
        asked = sign_in(scopes=["hand_in", "read_own"])
        assert asked.json()["scopes"] == ["read_own", "hand_in"]
        assert TokenReach.objects.order_by("pk").count() == 2

    @pytest.mark.parametrize("scopes", [[], ["everything"], "read_own", [None], [["read_own"]]])
    def test_refuses_what_is_no_scope(self, member: Membership, scopes: Any) -> None:
        assert sign_in(scopes=scopes).status_code == 400
        assert not TokenReach.objects.exists()


class TestReach:
    def test_ends_where_the_scopes_end(
        self, owner: Membership, member: Membership, given: Given
    ) -> None:
        today = given.a_set()
        plan = f"{CLUB}sets/{today.pk}/scrambles/1/plan/"
        body = {"key": str(uuid.uuid4()), "plan": "D' R'"}
        needs = {
            "read_own": ("get", f"{CLUB}sets/now/"),
            "hand_in": ("post", plan),
            "coach_read": ("get", f"{CLUB}coach/overview/"),
            "coach_write": ("post", f"{CLUB}corrections/"),
            "people": ("get", f"{CLUB}log/"),
        }
        for scope in Scope:
            client = program(owner, scope)
            for needed, (method, address) in needs.items():
                answer = getattr(client, method)(address, body, format="json")
                assert (answer.status_code == 403) == (needed != scope), (scope, needed)
                if needed != scope:
                    told = answer.json()
                    assert (code_of(answer), told["scope"]) == ("scope_missing", needed)
                    assert answer["WWW-Authenticate"] == (
                        f'Bearer error="insufficient_scope", scope="{needed}"'
                    )
        assert not member.plans.exists()

    def test_tells_nothing_of_what_is_there(self, member: Membership, given: Given) -> None:
        today = given.a_set()
        unopened = given.a_set(opens=NOON + timedelta(hours=11), closes=NOON + timedelta(days=2))
        client = program(member, Scope.READ_OWN)
        answers = {
            client.post(
                f"{API}clubs/{slug}/sets/{one}/scrambles/1/plan/", {}, format="json"
            ).content
            for slug in ("lantern-street", "far-shore", "nowhere")
            for one in (today.pk, unopened.pk, 10**7)
        }
        assert len(answers) == 1

    def test_never_goes_beyond_the_person(self, member: Membership, given: Given) -> None:
        client = program(member, *Scope)
        for address in ("coach/overview/", "log/", "corrections/"):
            assert code_of(client.get(f"{CLUB}{address}")) == "not_allowed"

    def test_lets_every_token_end_itself(self, member: Membership) -> None:
        assert program(member, Scope.HAND_IN).delete(f"{API}tokens/current/").status_code == 204

    def test_a_page_needs_none(self, member: Membership, given: Given) -> None:
        given.a_set()
        assert reader_for(member).client.get(f"{CLUB}sets/now/").status_code == 200

    def test_a_token_without_a_reach_opens_no_club(self, member: Membership) -> None:
        client = program(member, *Scope)
        TokenReach.objects.all().delete()
        assert client.get(f"{API}me/").json()["clubs"] == []
        assert client.get(f"{CLUB}sets/now/").status_code == 404


def test_tokens_of_old_keep_what_they_had(member: Membership) -> None:
    make_token(person=member.person)
    TokenReach.objects.update(scopes=[])
    moved = import_module("training.migrations.0043_token_scopes")
    moved.keep_what_they_had(apps, SimpleNamespace(connection=connection))
    assert TokenReach.objects.get().scopes == [one.value for one in Scope]


class TestThePage:
    def test_makes_one_with_what_was_chosen_and_shows_it_once(self, member: Membership) -> None:
        reader = reader_for(member)
        page = reader.get("/devices/")
        assert "read what is yours" in words(page)
        asked = {"do": "token", "program": "a script", "scopes": ["read_own", "hand_in"]}
        page = reader.post("/devices/", asked)
        reach = TokenReach.objects.get()
        assert (reach.program, reach.scopes) == ("a script", ["read_own", "hand_in"])
        secret = page.split('<p class="token">')[1].split("<code>")[1].split("</code>")[0]
        client = APIClient()
        client.credentials(HTTP_AUTHORIZATION=f"Bearer {secret}")
        assert client.get(f"{API}me/").status_code == 200
        page = reader.get("/devices/")
        assert secret not in page
        assert "It may read what is yours" in words(page)

    @pytest.mark.parametrize(
        "asked", [{"scopes": ["read_own"]}, {"program": "x"}, {"program": "x", "scopes": ["all"]}]
    )
    def test_refuses_in_words(self, member: Membership, asked: dict[str, Any]) -> None:
        page = reader_for(member).post("/devices/", {"do": "token", **asked}, 400)
        assert "Choose" in words(page) or "Write what the program is called" in words(page)
        assert not TokenReach.objects.exists()
