"""The coach's pages of a day: who is in, each plan, what was lost."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from tests.conftest import NOON, Given, make_membership
from tests.web.conftest import ROOT, reader_for, words
from training.models import (
    Club,
    Membership,
    PlanStatus,
    Role,
    Standing,
)
from training.services import verdicts


class TestCoach:
    def test_who_is_in_who_is_missing_and_what_was_lost(
        self, coach: Membership, member: Membership, second: Membership, given: Given
    ) -> None:
        today = given.a_set()
        given.a_plan(second, today, 1, "D' L L' R'")
        page = reader_for(coach).get(f"{ROOT}/coach/")
        said = words(page)
        assert "1 of 2 have handed in" in said
        assert "Still to come: Ines." in said
        assert "The week so far, by member" in said
        assert re.search(r"Bashir 2 what it cost .*? 1 1 0 Ines nothing yet 0 0 0", said)
        assert "8 for one that is missing once its set has closed." in said
        assert 'hx-trigger="every 5s"' in page
        given.a_plan(member, today, 1, "F")
        said = words(reader_for(coach).get(f"{ROOT}/coach/"))
        assert re.search(r"Ines 8 what it cost .*? 1 0 0 Bashir 2 what it cost .*? 1 1 0", said)

    def test_of_a_closed_set_nothing_is_still_to_come(
        self, coach: Membership, member: Membership, second: Membership, given: Given
    ) -> None:
        before = NOON - timedelta(days=1)
        closed = given.a_set(opens=before - timedelta(days=1), closes=before)
        at = before - timedelta(hours=1)
        address = f"{ROOT}/coach/sets/{closed.pk}/"
        assert "Nothing came from Bashir and Ines." in words(reader_for(coach).get(address))
        given.a_plan(second, closed, 1, "D' R'", at=at)
        assert "Nothing came from Ines." in words(reader_for(coach).get(address))
        given.a_plan(member, closed, 1, "D' R'", at=at)
        said = words(reader_for(coach).get(address))
        assert "Everybody is in." in said
        assert "Still to come" not in said

    def test_children_without_consent_are_counted(self, coach: Membership, club: Club) -> None:
        assert "consent" not in words(reader_for(coach).get(f"{ROOT}/coach/"))
        make_membership(club, "Jo", standing=Standing.CONSENT, under_18=True)
        said = words(reader_for(coach).get(f"{ROOT}/coach/"))
        assert "1 child waits for a guardian’s consent. Note it under People ." in said
        make_membership(club, "Kim", standing=Standing.CONSENT, under_18=True)
        said = words(reader_for(coach).get(f"{ROOT}/coach/"))
        assert "2 children wait for a guardian’s consent." in said

    def test_only_a_coach_who_competes_is_led_to_practice(
        self, coach: Membership, club: Club
    ) -> None:
        way = f'href="{ROOT}/practice/"'
        assert way not in reader_for(coach).get(f"{ROOT}/coach/")
        both = make_membership(club, "Una", Role.COACH, competes=True)
        assert way in reader_for(both).get(f"{ROOT}/coach/")

    def test_a_plan_with_its_ledger_and_withdrawing_it(
        self, coach: Membership, second: Membership, given: Given
    ) -> None:
        plan = given.a_plan(second, given.a_set(), 1, "D' L L' R'")
        reader = reader_for(coach)
        address = f"{ROOT}/coach/plans/{plan.pk}/"
        assert "Bashir: Solved in 4 moves. The best is 2." in words(reader.get(address))
        page = reader.post(address, {"do": "withdraw", "reason": " "}, status=400)
        assert "Say why, in a few words." in words(page)
        reader.post(address, {"do": "withdraw", "reason": "Wrong scramble."}, status=302)
        assert "Wrong scramble." in words(reader.get(address))
        reader.post(address, {"do": "restore", "reason": "It was right."}, status=302)
        assert "Bashir: Solved in 4 moves. The best is 2." in words(reader.get(address))
        said = words(reader.get(f"{ROOT}/coach/corrections/"))
        # Two sets may close on one day, so an entry names its own.
        assert "the plan of Bashir for scramble 1 of Wednesday’s set (Wednesday 25 November" in said
        assert "Kari took back: the plan of Bashir for scramble 1 of Wednesday’s set" in said
        assert "It was right." in said

    def test_a_plan_that_could_not_be_checked_is_put_back(
        self, coach: Membership, second: Membership, given: Given
    ) -> None:
        plan = given.a_plan(second, given.a_set(), 1, "D' R'", checked=False)
        verdicts.fail(plan_id=plan.pk, reason=verdicts.GAVE_UP)
        reader = reader_for(coach)
        said = words(reader.get(f"{ROOT}/coach/"))
        assert "1 plan could not be checked: open it and have it checked again." in said
        reader.post(f"{ROOT}/coach/plans/{plan.pk}/", {"do": "check_again"}, status=302)
        plan.refresh_from_db()
        assert plan.status == PlanStatus.WAITING

    def test_a_coach_who_competes_sees_no_plan_before_the_own_ones_are_in(
        self, club: Club, second: Membership, given: Given
    ) -> None:
        competing = make_membership(club, "Siri", "coach", competes=True)
        plan = given.a_plan(second, given.a_set(), 1, "D' R'")
        page = reader_for(competing).get(f"{ROOT}/coach/")
        assert "You compete" in words(page)
        assert f"/coach/plans/{plan.pk}/" not in page
        reader_for(competing).get(f"{ROOT}/coach/plans/{plan.pk}/", status=404)

    @pytest.mark.parametrize("page", ["coach", "people", "settings"])
    def test_a_member_is_told_who_may_open_it(self, member: Membership, page: str) -> None:
        said = words(reader_for(member).get(f"{ROOT}/{page}/", status=403))
        assert "Only a coach of the club may open this page." in said


def test_of_a_quiet_week_nothing_is_said_that_is_not_so(coach: Membership, given: Given) -> None:
    """Nothing was open, or nobody is a member: neither is a week in which everybody handed in."""
    said = words(reader_for(coach).get(f"{ROOT}/coach/"))
    assert "Nobody: whoever has been here for a week has handed something in" in said
    assert "or no set was open." in said
    given.a_set()
    said = words(reader_for(coach).get(f"{ROOT}/coach/"))
    assert "Nobody to hand in yet" in said
    assert "0 of 0" not in said
    who = make_membership(given.club, "Cleo", joined_at=NOON - timedelta(days=20))
    said = words(reader_for(coach).get(f"{ROOT}/coach/"))
    assert re.search(rf"{who.display_name} ?, no plan so far\.", said)
