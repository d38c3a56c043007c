"""A token opens the clubs that were chosen when it was made, and no other.

Common practice (least privilege), no source.
"""

from __future__ import annotations

import importlib
import uuid
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection
from django.urls import reverse
from django.urls.converters import UUIDConverter
from django.utils import timezone
from knox.models import get_token_model
from rest_framework.test import APIClient

from tests.access.addresses import named
from tests.api.conftest import API
from tests.conftest import PHRASE, Given, make_membership
from training.models import Club, Membership, Role, Scope, TokenReach
from training.services.tokens import make_token

pytestmark = pytest.mark.django_db

HERE, THERE = "lantern-street", "far-shore"
_OTHERS = (
    *("correction_id", "challenge_id", "season_id", "question_id", "group_id"),
    *("series_id", "hook_id"),
)


@pytest.fixture
def there(member: Membership, other_club: Club) -> Membership:
    """The member's account in the other club, where they coach."""
    return Membership.objects.create(
        club=other_club, person=member.person, display_name="I", role=Role.COACH
    )


def sign_in(**more: object) -> tuple[APIClient, dict]:
    client = APIClient(headers={"user-agent": "clubtool/2.1 (Linux)"})
    body = {"sign_in_name": "ines", "phrase": PHRASE, "scopes": list(Scope.values), **more}
    answer = client.post(f"{API}tokens/", body, format="json")
    told = answer.json() | {"status": answer.status_code}
    client.credentials(HTTP_AUTHORIZATION=f"Bearer {told.get('token')}")
    return client, told


def club_addresses(slug: str, **things: object) -> list[str]:
    """Every address of the API below a club."""
    today = timezone.now().date()
    values = {"slug": slug, "number": 1, "day": today, "code": "base_turn"}
    values |= dict.fromkeys(_OTHERS, 1)
    values |= things
    return [
        reverse(
            name,
            kwargs={
                one: uuid.UUID(int=1) if isinstance(kind, UUIDConverter) else values[one]
                for one, kind in pattern.pattern.converters.items()
            },
        )
        for name, pattern in named()
        if name.startswith("api:") and "slug" in pattern.pattern.converters
    ]


def test_another_club_looks_as_absent_as_one_that_is_not_there(
    member: Membership, there: Membership, given: Given
) -> None:
    theirs = given.a_set(club=there.club)
    client, told = sign_in(clubs=[HERE])
    assert told["clubs"] == [HERE]
    things = {"set_id": theirs.pk, "membership_id": there.pk}
    foreign, absent = club_addresses(THERE, **things), club_addresses("no-such-club", **things)
    assert len(foreign) >= 13
    for one, twin in zip(foreign, absent, strict=True):
        for method in ("get", "post", "delete"):
            answer, nothing = getattr(client, method)(one), getattr(client, method)(twin)
            assert (answer.status_code, answer.content) == (404, nothing.content), (method, one)
    assert client.get(f"{API}clubs/{HERE}/sets/now/").status_code == 200
    assert [one["slug"] for one in client.get(f"{API}me/").json()["clubs"]] == [HERE]


def test_without_a_choice_it_opens_all_of_today_and_none_joined_later(
    member: Membership, there: Membership, db: None
) -> None:
    client, told = sign_in()
    assert told["clubs"] == [THERE, HERE]
    assert client.get(f"{API}clubs/{THERE}/coach/overview/").status_code == 200
    third = Club.objects.create(name="Third", slug="third", time_zone="UTC")
    Membership.objects.create(club=third, person=member.person, display_name="Ines")
    assert client.get(f"{API}clubs/third/sets/now/").status_code == 404
    assert sign_in()[0].get(f"{API}clubs/third/sets/now/").status_code == 200


def test_a_club_that_is_not_ones_own_is_refused_as_one_that_is_not_there(
    member: Membership, other_club: Club
) -> None:
    for slug in (THERE, "no-such-club"):
        _, told = sign_in(clubs=[slug])
        assert told["status"] == 400
        assert told["detail"] == f"You belong to no club “{slug}”."
    for wrong in ("lantern-street", [1, None], [HERE] * 101, {"a": 1}):
        assert sign_in(clubs=wrong)[1]["status"] == 400
    assert not get_token_model().objects.exists()
    assert sign_in(clubs=[])[1]["clubs"] == []


def test_a_token_without_a_reach_opens_no_club(member: Membership) -> None:
    client, _ = sign_in()
    TokenReach.objects.all().delete()
    assert client.get(f"{API}clubs/{HERE}/sets/now/").status_code == 404
    assert client.get(f"{API}me/").json()["clubs"] == []


def test_a_membership_archived_since_opens_nothing(member: Membership) -> None:
    client, _ = sign_in()
    member.standing = "archived"
    member.save()
    assert client.get(f"{API}clubs/{HERE}/sets/now/").status_code == 403


def test_who_asks_is_found_in_one_query(
    member: Membership, django_assert_num_queries: object
) -> None:
    client, _ = sign_in()
    with django_assert_num_queries(2):
        # The second finds the clubs of the answer.
        assert client.get(f"{API}me/").status_code == 200


def test_one_that_has_run_out_opens_nothing_and_makes_room(member: Membership, clock) -> None:
    clients = [sign_in()[0] for _ in range(10)]
    assert sign_in()[1]["status"] == 403
    clock(timezone.now() + timezone.timedelta(days=31))
    assert clients[0].get(f"{API}me/").status_code == 401
    assert sign_in()[1]["status"] == 201
    assert get_token_model().objects.count() == 1


def test_what_made_it_is_known_roughly(member: Membership) -> None:
    sign_in()
    assert TokenReach.objects.get().program == "clubtool"


def test_tokens_of_older_versions_keep_what_their_owners_could_reach(
    member: Membership, there: Membership
) -> None:
    loner = make_membership(there.club, "Nao").person
    for person in (member.person, loner):
        make_token(person=person)
    TokenReach.objects.all().delete()
    migration = importlib.import_module("training.migrations.0014_tokens_know_their_clubs")
    migration.keep_what_is_reached(apps, SimpleNamespace(connection=connection))
    reached = {one.token.user.sign_in_name: one.clubs for one in TokenReach.objects.all()}
    assert reached == {"ines": sorted([member.club_id, there.club_id]), "nao": [there.club_id]}
