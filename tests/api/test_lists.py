"""Lists that are at hand whole go out in pages, too (RFC 8288)."""

from __future__ import annotations

from datetime import timedelta

from rest_framework.test import APIClient

from tests.api.conftest import API
from tests.api.test_pages_and_limits import SpeaksFor, linked
from tests.conftest import NOON
from training.models import Club, Membership, Season
from training.services.tokens import make_token

CLUB = f"{API}clubs/lantern-street/"


def test_seasons_are_walked_by_their_links(
    club: Club, member: Membership, speaks_for: SpeaksFor
) -> None:
    days = [(NOON - timedelta(days=7 * n)).date() for n in range(70)]
    Season.objects.bulk_create(
        Season(club=club, name=f"S{n}", first_day=day, last_day=day, kinds=["challenge"])
        for n, day in enumerate(days)
    )
    client = speaks_for(member)
    first = client.get(f"{CLUB}seasons/")
    assert (len(first.json()), first["Total-Count"]) == (50, "70")
    last = client.get(linked(first)["next"])
    assert len(last.json()) == 20
    assert "next" not in linked(last)
    ids = [one["id"] for one in (*first.json(), *last.json())]
    assert len(set(ids)) == 70
    assert client.get(f"{CLUB}seasons/?page=0").status_code == 404


def test_announcing_a_challenge_needs_the_coachs_scope(
    coach: Membership,
) -> None:
    client = APIClient()
    _, secret = make_token(person=coach.person, scopes=["read_own", "hand_in"])
    client.credentials(HTTP_AUTHORIZATION=f"Bearer {secret}")
    assert client.get(f"{CLUB}challenges/").status_code == 200
    refused = client.post(f"{CLUB}challenges/", {}, format="json")
    assert (refused.status_code, refused.json()["scope"]) == (403, "coach_write")
