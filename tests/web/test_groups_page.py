"""The groups' page: made, renamed, put away, members moved after a look at what changes.

Words and rules are the product's own (no outside source).
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.grouping import group_named, put_in
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Deed, Done, Group, GroupTime, Kind
from training.services.groups import move

PAGE = f"{ROOT}/groups/"
LONG_AGO = NOON - timedelta(days=60)


@pytest.fixture(autouse=True)
def _noon(clock) -> None:
    clock(NOON)


def test_a_group_is_made_renamed_put_away_and_taken_up(coach, member) -> None:
    reader = reader_for(coach)
    assert "There is no group yet." in seen(reader.get(PAGE))
    reader.post(PAGE, {"do": "make", "name": "  Builders "}, status=302)
    group = Group.objects.get()
    assert "called “builders” already" in seen(
        reader.post(PAGE, {"do": "make", "name": "builders"}, status=400)
    )
    reader.post(PAGE, {"do": f"rename {group.pk}", f"group-{group.pk}-name": "Masons"}, status=302)
    put_in("Masons", member, since=LONG_AGO)
    reader.post(PAGE, {"do": f"put_away {group.pk}"}, status=302)
    assert Group.objects.in_use().exists()
    move(by=coach, memberships=[member], group=None, from_day=NOON.date(), now=NOON)
    reader.post(PAGE, {"do": f"put_away {group.pk}"}, status=302)
    assert not Group.objects.in_use().exists()
    reader.post(PAGE, {"do": f"take_up {group.pk}"}, status=302)
    assert [one.name for one in Group.objects.in_use()] == ["Masons"]


def test_a_group_that_never_had_anything_goes_altogether(coach, club) -> None:
    group = group_named(club, "Builders")
    reader_for(coach).post(PAGE, {"do": f"put_away {group.pk}"}, status=302)
    assert not Group.objects.exists()


def test_many_are_moved_at_once_after_a_look_at_what_changes(
    given, club, coach, member, second
) -> None:
    builders, planners = put_in("Builders", member, second, since=LONG_AGO), group_named(club, "P")
    a_set = given.a_set(kind=Kind.CLUB_NIGHT)
    a_set.groups.add(builders)
    given.a_plan(member, a_set, 1, "D")
    entered = {"who": [member.pk, second.pk], "group": planners.pk, "from_day": "2026-11-25"}
    reader = reader_for(coach)
    page = seen(reader.post(PAGE, {"do": "look", **entered}))
    for words in (
        "From today on:",
        "Ines belongs to P, no longer to Builders.",
        "is open: Bashir and Ines cannot begin it any more, and it does not count.",
        "What Ines handed in for it stays, may be finished, and stands without a rank.",
        "The club’s own tables stay as they are.",
    ):
        assert words in page, page
    assert GroupTime.objects.filter(group=planners).count() == 0
    html = reader.post(PAGE, {"do": "look", **entered})
    state = html.split('name="seen" value="')[1].split('"')[0]
    reader.post(PAGE, {"do": "move", "seen": state, **entered}, status=302)
    assert GroupTime.objects.filter(group=planners, ends_at=None).count() == 2
    assert Deed.objects.filter(what=Done.GROUP).count() == 2


def test_of_two_coaches_the_second_is_shown_what_has_changed_meanwhile(club, coach, member) -> None:
    put_in("Builders", member, since=LONG_AGO)
    planners, starters = group_named(club, "Planners"), group_named(club, "Starters")
    entered = {"who": [member.pk], "group": planners.pk, "from_day": "2026-11-25"}
    reader = reader_for(coach)
    html = reader.post(PAGE, {"do": "look", **entered})
    state = html.split('name="seen" value="')[1].split('"')[0]
    other = make_membership(club, "Rune", "coach", competes=False)
    move(by=other, memberships=[member], group=starters, from_day=NOON.date(), now=NOON)
    page = reader.post(PAGE, {"do": "move", "seen": state, **entered}, status=409)
    assert "Somebody has moved one of these meanwhile." in seen(page)
    assert "Ines belongs to Planners, no longer to Starters." in seen(page)
    assert GroupTime.objects.get(ends_at=None).group == starters


def test_a_move_to_come_is_told_and_one_of_the_past_rewrites_what_is_later(
    club, coach, member
) -> None:
    builders, planners = group_named(club, "Builders"), group_named(club, "Planners")
    today = NOON.date()
    move(by=coach, memberships=[member], group=builders, from_day=today, now=NOON)
    later = today + timedelta(days=6)
    move(by=coach, memberships=[member], group=planners, from_day=later, now=NOON)
    page = seen(reader_for(coach).get(PAGE))
    assert "Ines (until Monday 30 November, Planners from Tuesday 1 December)" in page
    before = today - timedelta(days=9)
    move(by=coach, memberships=[member], group=planners, from_day=before, now=NOON)
    (only,) = GroupTime.objects.all()
    assert (only.group, only.ends_at) == (planners, None)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"who": []}, "Tick at least one member."),
        ({"from_day": ""}, "Write from which day on."),
        ({"from_day": "0001-01-01"}, "Choose a date between"),
        ({"group": "999"}, "Select a valid choice"),
    ],
)
def test_what_cannot_be_is_said(club, coach, member, change, words) -> None:
    group = group_named(club, "Builders")
    entered = {"who": [member.pk], "group": group.pk, "from_day": "2026-11-25", **change}
    page = reader_for(coach).post(PAGE, {"do": "look", **entered}, status=400)
    assert words in seen(page)
    assert not GroupTime.objects.exists()


def test_a_group_s_table_is_of_its_members_and_another_s_is_not_there(
    given, club, coach, member, second
) -> None:
    builders = put_in("Builders", member, since=LONG_AGO)
    others = put_in("Planners", second, since=LONG_AGO)
    a_set = given.a_set(opens=NOON - timedelta(hours=37), closes=NOON - timedelta(hours=13))
    for who in (member, second):
        given.a_plan(who, a_set, 1, "D' R'", at=NOON - timedelta(hours=20))
    week = f"{ROOT}/table/week/2026-11-25/"
    page = seen(reader_for(member).get(f"{week}?group={builders.pk}"))
    assert "Ines" in page
    assert "Bashir" not in page
    assert "In this table stand those who belonged to Builders" in page
    reader_for(member).get(f"{week}?group={others.pk}", status=404)
    assert "Bashir" in seen(reader_for(coach).get(f"{week}?group={others.pk}"))
    own = seen(reader_for(coach).get(f"{week}?group={others.pk}&sets=own"))
    assert "There is no set in this time." in own
