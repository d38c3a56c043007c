"""Groups and lists of people through the API: read, made, moved, pasted."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.api.conftest import API
from tests.conftest import NOON
from tests.grouping import group_named, put_in
from training.models import GroupTime, Membership

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

CLUB = f"{API}clubs/lantern-street/"
LONG_AGO = NOON - timedelta(days=60)


def test_a_group_is_made_renamed_and_put_away(speaks_for, coach, member) -> None:
    api = speaks_for(coach)
    made = api.post(f"{CLUB}groups/", {"name": "Builders"}, format="json")
    assert (made.status_code, made.json()["name"]) == (201, "Builders")
    place = f"{CLUB}groups/{made.json()['id']}/"
    renamed = api.post(place, {"name": "Masons"}, format="json")
    assert (renamed.status_code, renamed.json()["name"]) == (200, "Masons")
    put_in("Masons", member, since=LONG_AGO)
    assert api.post(place, {"in_use": False}, format="json").status_code == 409
    GroupTime.objects.update(ends_at=NOON)
    away = api.post(place, {"in_use": False}, format="json")
    assert (away.status_code, away.json()["in_use"]) == (200, False)
    assert api.post(place, {"in_use": True}, format="json").json()["in_use"]
    empty = api.post(f"{CLUB}groups/", {"name": "Nobody’s"}, format="json").json()
    gone = api.post(f"{CLUB}groups/{empty['id']}/", {"in_use": False}, format="json")
    assert gone.status_code == 204


def test_members_are_moved_after_a_look(speaks_for, club, coach, member) -> None:
    put_in("Builders", member, since=LONG_AGO)
    planners = group_named(club, "Planners")
    api = speaks_for(coach)
    sent = {"members": [member.pk], "group": planners.pk, "from_day": "2026-11-25"}
    looked = api.post(f"{CLUB}groups/move/", sent, format="json").json()
    assert [(one["before"], one["changes"]) for one in looked["members"]] == [("Builders", True)]
    assert not GroupTime.objects.filter(group=planners).exists()
    stale = {**sent, "store": True, "seen": "0" * 16}
    assert api.post(f"{CLUB}groups/move/", stale, format="json").status_code == 409
    saved = {**sent, "store": True, "seen": looked["state"]}
    assert api.post(f"{CLUB}groups/move/", saved, format="json").status_code == 200
    told = api.get(f"{CLUB}groups/").json()
    assert {one["name"]: [m["name"] for m in one["members"]] for one in told["groups"]} == {
        "Builders": [],
        "Planners": ["Ines"],
    }
    nowhere = {**sent, "group": None, "store": True}
    assert api.post(f"{CLUB}groups/move/", nowhere, format="json").status_code == 200
    assert "Ines" in [one["name"] for one in api.get(f"{CLUB}groups/").json()["nowhere"]]


def test_another_club_s_members_and_groups_are_not_there(
    speaks_for, coach, member, outsider, other_club
) -> None:
    far = group_named(other_club, "Far")
    for members, group in (([outsider.pk], None), ([member.pk], far.pk)):
        sent = {"members": members, "group": group, "from_day": "2026-11-25"}
        answer = speaks_for(coach).post(f"{CLUB}groups/move/", sent, format="json")
        assert answer.status_code == 404


def test_a_list_is_looked_at_and_saved(speaks_for, club, coach) -> None:
    group_named(club, "Builders")
    api = speaks_for(coach)
    looked = api.post(f"{CLUB}people/list/", {"text": "Bo;Builders\nInes"}, format="json")
    lines = looked.json()["lines"]
    assert (looked.status_code, looked.json()["may_be_saved"]) == (200, True)
    assert [bool(one["trouble"]) for one in lines] == [False, False]
    saved = api.post(f"{CLUB}people/list/", {"text": "Bo;Builders", "store": True}, format="json")
    assert saved.status_code == 201
    assert Membership.objects.get(display_name="Bo").group_times.get().group.name == "Builders"
    wrong = api.post(f"{CLUB}people/list/", {"text": "Bo", "store": True}, format="json")
    assert (wrong.status_code, wrong.json()["type"].rsplit("/")[-1]) == (400, "invalid_entry")


def test_a_group_s_table_is_asked_for_by_its_number(
    speaks_for, given, club, coach, member, second
) -> None:
    builders = put_in("Builders", member, since=LONG_AGO)
    a_set = given.a_set(opens=NOON - timedelta(hours=37), closes=NOON - timedelta(hours=13))
    for who in (member, second):
        given.a_plan(who, a_set, 1, "D' R'", at=NOON - timedelta(hours=20))
    for place in ("day/2026-11-24", "week/2026-11-25", "all"):
        table = speaks_for(member).get(f"{CLUB}table/{place}/?group={builders.pk}").json()
        assert [one["member"] for one in table["rows"]] == ["Ines"]
        own = speaks_for(member).get(f"{CLUB}table/{place}/?group={builders.pk}&sets=own").json()
        assert own["sets"] == []
        assert (
            speaks_for(second).get(f"{CLUB}table/{place}/?group={builders.pk}").status_code == 404
        )
