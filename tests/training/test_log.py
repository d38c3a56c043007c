"""The club's log: a line for each thing done to somebody, and its end after a year."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from training import retention
from training.models import Deed, Done, Standing
from training.services import accounts, deeds
from training.services.corrections import withdraw_plan

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]


def lines() -> list[tuple[str, str | None, str]]:
    """What the log holds, oldest first: what, by whom, to whom."""
    return [
        (one.what, one.by and one.by.display_name, one.whom.display_name)
        for one in Deed.objects.order_by("pk").select_related("by", "whom")
    ]


def test_each_thing_done_to_somebody_is_a_line(club, owner, coach, member, given) -> None:
    # No source: our own rule of what a club's owner can read afterwards.
    accounts.make_sign_in_code(by=coach, membership=member)
    accounts.lift_lock(by=coach, membership=member)
    accounts.archive_membership(by=coach, membership=member)
    accounts.reopen_membership(by=owner, membership=member)
    child = make_membership(club, "Pim", standing=Standing.CONSENT, under_18=True)
    accounts.note_consent(by=coach, membership=child, note="mother, signed form")
    accounts.withdraw_consent(by=coach, membership=child)
    accounts.make_owner_code(sign_in_name="odd")
    assert lines() == [
        ("card", "Kari", "Ines"),
        ("lock_lifted", "Kari", "Ines"),
        ("archived", "Kari", "Ines"),
        ("reopened", "Odd", "Ines"),
        ("consent_noted", "Kari", "Pim"),
        ("consent_withdrawn", "Kari", "Pim"),
        ("card", None, "Odd"),
    ]


def test_what_changes_nothing_is_no_line(coach, member) -> None:
    accounts.reopen_membership(by=coach, membership=member)
    accounts.archive_membership(by=coach, membership=member)
    accounts.archive_membership(by=coach, membership=member)
    accounts.note_consent(by=coach, membership=member, note="nobody asked for it")
    assert [what for what, _, _ in lines()] == ["archived"]


def test_the_log_holds_no_names_and_nothing_that_was_written(coach, member, given) -> None:
    """Else they would stay in it after an erase."""
    plan = given.a_plan(member, given.a_set(), 1, "D' R'")
    withdraw_plan(plan=plan, by=coach, reason="a word of mine")
    accounts.make_sign_in_code(by=coach, membership=member)
    cells = [str(cell) for row in Deed.objects.values_list() for cell in row]
    assert len(Deed.objects.all()) == 1
    assert not [cell for cell in cells if "ines" in cell.lower() or "word of mine" in cell]


def test_nobody_of_another_club_stands_in_it(member, outsider) -> None:
    with pytest.raises(ValueError, match="another club"):
        deeds.note(what=Done.CARD, by=outsider, whom=member)


def test_a_line_is_kept_for_a_year_and_then_purged_by_the_clocks_round(member, coach) -> None:
    from training.services import periodic
    from training.services.sets import Drawers

    year = timedelta(days=retention.LOG_DAYS)
    deeds.note(what=Done.CARD, by=coach, whom=member, now=NOON - year - timedelta(seconds=1))
    kept = deeds.note(what=Done.CARD, by=coach, whom=member, now=NOON - year)
    nothing = Drawers(daily=lambda count: [], picked=lambda *asked: [])
    member.club.series.update(weekdays=[])
    periodic.tick(drawers=nothing, now=NOON)
    assert list(Deed.objects.all()) == [kept]
