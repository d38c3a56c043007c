"""Web hooks and the posts' address through the API: for owners; a secret is said once."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.api.conftest import API, wrong_entries
from tests.conftest import NOON
from tests.training.challenged import a_challenge, planned
from training.models import Delivery, PublicAddress, WebHook
from training.services import hooks
from training.services.safe_sending import NotSent

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

CLUB = f"{API}clubs/lantern-street/"
PLACE = f"{CLUB}hooks/"


@pytest.fixture
def anywhere(monkeypatch) -> None:
    """Addresses are looked up nowhere."""
    monkeypatch.setattr(
        hooks.make_hook,
        "__kwdefaults__",
        {
            **(hooks.make_hook.__kwdefaults__ or {}),
            "check": lambda target: None,
        },
    )


def test_the_secret_is_said_once_and_signs(speaks_for, owner, anywhere) -> None:
    api = speaks_for(owner)
    sent = {"address": "https://hook.example/told", "events": ["confirmed", "set_opened"]}
    made = api.post(PLACE, sent, format="json")
    hook = WebHook.objects.get()
    assert (made.status_code, made.json()) == (
        201,
        {"id": hook.pk, "secret": hooks.secret_of(hook)},
    )
    told = api.get(PLACE)
    assert [(one["id"], one["events"]) for one in told.json()] == [
        (hook.pk, ["set_opened", "confirmed"])
    ]
    assert made.json()["secret"] not in told.content.decode()
    renewed = api.post(f"{PLACE}{hook.pk}/secret/", format="json").json()["secret"]
    hook.refresh_from_db()
    assert renewed == hooks.secret_of(hook) != made.json()["secret"]
    assert api.delete(f"{PLACE}{hook.pk}/").status_code == 204
    assert not WebHook.objects.exists()


def test_a_private_address_is_refused_in_words(speaks_for, owner) -> None:
    # RFC 1918, section 3: 10/8 is a private network.
    sent = {"address": "https://10.0.0.7/told", "events": ["confirmed"]}
    answer = speaks_for(owner).post(PLACE, sent, format="json")
    assert (answer.status_code, wrong_entries(answer)) == (400, ["address"])


def test_what_was_given_up_is_tried_again(speaks_for, owner, club, given) -> None:
    hook = WebHook.objects.create(club=club, address="https://hook.example/", events=["confirmed"])
    message = hook.deliveries.create(
        event="confirmed", scramble_set=given.a_set(), happened_at=NOON, tries=7, trouble="gone"
    )
    api = speaks_for(owner)
    place = f"{PLACE}{hook.pk}/deliveries/"
    listed = api.get(place)
    assert listed["Total-Count"] == "1"
    assert (listed.json()[0]["id"], listed.json()[0]["tries"]) == (str(message.number), 7)
    again = api.post(f"{place}{message.number}/again/", format="json").json()
    assert (again["tries"], again["next_try_at"]) == (0, "2026-11-25T12:00:00Z")
    assert hooks.deliver(sender=lambda *told: 204, now=NOON) == 1
    assert api.post(f"{place}{message.number}/again/", format="json").status_code == 409
    assert Delivery.objects.get().delivered_at == NOON


def test_tried_again_it_has_all_its_tries(owner, club, given) -> None:
    hook = WebHook.objects.create(club=club, address="https://hook.example/", events=["confirmed"])
    message = hook.deliveries.create(
        event="confirmed", scramble_set=given.a_set(), happened_at=NOON, tries=7
    )

    def gone(*told: object) -> int:
        raise NotSent("It did not answer in time.")

    hooks.try_again(by=owner, delivery=message, now=NOON)
    hooks.deliver(sender=gone, now=NOON)
    message.refresh_from_db()
    assert message.next_try_at == NOON + hooks.WAITS[0]


def test_coaches_and_members_get_no_hook(speaks_for, coach, member) -> None:
    for who in (coach, member):
        answer = speaks_for(who).get(PLACE)
        assert answer.json()["type"].endswith("/not_allowed")


def test_another_club_s_hook_is_not_there(speaks_for, owner, other_club) -> None:
    far = WebHook.objects.create(club=other_club, address="https://hook.example/", events=[])
    api = speaks_for(owner)
    assert api.delete(f"{PLACE}{far.pk}/").status_code == 404
    assert api.get(f"{PLACE}{far.pk}/deliveries/").status_code == 404
    assert api.post(f"{PLACE}{far.pk}/secret/", format="json").status_code == 404


def test_an_owner_opens_the_posts_to_all_and_closes_them(speaks_for, owner, client) -> None:
    api, place = speaks_for(owner), f"{CLUB}posts/address/"
    assert api.get(place).json() == {"page": None, "feed": None}
    first = api.post(place, format="json").json()
    assert api.get(place).json() == first
    assert client.get(first["page"]).status_code == 200
    assert client.get(first["feed"])["Content-Type"].startswith("application/atom+xml")
    second = api.post(place, format="json").json()
    assert client.get(first["page"]).status_code == 404
    assert client.get(second["page"]).status_code == 200
    assert api.delete(place).status_code == 204
    assert not PublicAddress.objects.exists()


def test_a_challenge_is_posted_with_what_is_worth_a_word(
    speaks_for, given, coach, member, second
) -> None:
    day = timedelta(days=1)
    one = a_challenge(given.club, opens=NOON - 6 * day, closes=NOON - 5 * day)
    planned(given, one, member, ["D' R'"])
    api, place = speaks_for(coach), f"{CLUB}challenges/{one.pk}/"
    assert api.get(f"{place}post/").status_code == 404
    api.post(f"{place}confirm/", format="json")
    suggested = api.get(f"{place}words/").json()
    keys = [each["key"] for each in suggested]
    assert f"fewest-{member.pk}" in keys
    wrong = api.post(f"{place}post/", {"words": ["worst-1"]}, format="json")
    assert (wrong.status_code, wrong_entries(wrong)) == (400, ["words"])
    made = api.post(f"{place}post/", {"words": keys[:1]}, format="json")
    assert made.status_code == 201
    assert [each["member"] for each in made.json()["words"]] == ["Ines"]
    read = speaks_for(second).get(f"{CLUB}posts/").json()
    assert [(each["challenge_id"], each["outside"]) for each in read] == [(one.pk, False)]
