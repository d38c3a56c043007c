"""What members and coaches read of times: the list of a set, a day, a week, progress, excuses.

Limits of inspection: WCA Regulations, January 1, 2024, A3a1 and A4d. Means are written out here.
"""

from __future__ import annotations

import re
import uuid
from datetime import timedelta

import pytest

from solverworker import tasks
from tests.conftest import NOON, Given
from tests.training.test_attempts import inspect, planned, scramble_of
from tests.web.conftest import ROOT, reader_for, seen, words
from training.entry import Entry
from training.models import Inspects, Membership, Plan, ScrambleSet
from training.rules import Timing
from training.selectors.attempts import inspection_for
from training.services import attempts, corrections
from training.services.plans import hand_in

pytestmark = pytest.mark.django_db

FOUR_ALIKE = ("R D",) * 4
LIST = "Timed plans alone"


def list_of(page: str) -> list[list[str]]:
    """The lines of the list of timed plans of a page; none where it is not there."""
    begins = 'aria-labelledby="timed-plans"'
    found = re.search(rf"<section [^>]*{begins}.*?</section>", page, re.DOTALL)
    if found is None:
        return []
    rows = re.findall(r"<tr.*?</tr>", found[0], re.DOTALL)[1:]
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in rows]
    return [[" ".join(words(cell).split()) for cell in row] for row in cells]


def pages_of(a_set: ScrambleSet) -> tuple[str, str, str]:
    """The tables of a set, of its day and of its week."""
    day = a_set.day.isoformat()
    return (
        f"{ROOT}/sets/{a_set.pk}/table/",
        f"{ROOT}/table/day/{day}/",
        f"{ROOT}/table/week/{day}/",
    )


@pytest.fixture
def closed(given: Given) -> ScrambleSet:
    """A set of yesterday that leaves timing to the members."""
    opens = NOON - timedelta(days=1, hours=13)
    return given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=FOUR_ALIKE)


def plan_timed(
    who: Membership, a_set: ScrambleSet, number: int, seconds: float | None, **how: object
) -> Plan:
    """A plan after so many seconds, in a set of yesterday."""
    written = str(how.pop("written", "D' R'"))
    at = a_set.opens_at + timedelta(hours=1)
    scramble = scramble_of(a_set, number)
    inspect(who, scramble, seconds, at=at, **how)  # type: ignore[arg-type]
    plan = hand_in(
        membership=who,
        scramble=scramble,
        entry=Entry(written),
        key=uuid.uuid4(),
        inspection=inspection_for(who.pk, scramble.pk),
        now=at + timedelta(minutes=2),
    ).plan
    assert tasks.check_plan.run(plan.pk)
    plan.refresh_from_db()
    return plan


class TestList:
    def test_without_a_timed_plan_there_is_no_list(self, given: Given, member, closed) -> None:
        plan_timed(member, closed, 1, 9, chosen=Inspects.OWN)
        given.a_plan(member, closed, 2, "D' R'", at=closed.opens_at)
        for page in pages_of(closed):
            told = reader_for(member).get(page)
            assert LIST not in words(told), page
            assert list_of(told) == []

    def test_one_timed_plan_is_a_list_of_one(self, member, closed) -> None:
        plan_timed(member, closed, 1, 9.25)
        for page in pages_of(closed):
            assert list_of(reader_for(member).get(page)) == [["Ines", "1", "0.0", "9.2 s"]], page

    def test_all_with_a_second_look_are_no_list(self, member, second, closed) -> None:
        for who in (member, second):
            for number in (1, 2):
                plan_timed(who, closed, number, 8, looked=True)
        for page in pages_of(closed):
            assert list_of(reader_for(member).get(page)) == [], page

    def test_over_counts_in_it_and_late_does_not(self, member, second, closed) -> None:
        # 16.0 s is over (A4d: 15), 20 s is late (17); 15.05 s may have been 14.99: not over.
        for number, seconds in enumerate((12.0, 16.0, 20.0, 15.05), start=1):
            plan_timed(member, closed, number, seconds)
        plan_timed(second, closed, 1, 10, written="D D D R'")
        (mine, theirs) = list_of(reader_for(member).get(pages_of(closed)[0]))
        assert mine == ["Ines 1 plan over 15 s", "3", "0.0", "14.3 s"]
        assert theirs == ["Bashir", "1", "2.0", "10.0 s"]

    def test_a_time_that_the_line_may_have_made_late_stays(self, member, closed) -> None:
        plan_timed(member, closed, 1, 18.5, trips=(100, 1600))  # at least 16.9 s
        plan_timed(member, closed, 2, 18.5, trips=(100, 1400))  # at least 17.1 s
        plan_timed(member, closed, 3, 5, trips=(3001, 20))  # nobody knows
        assert list_of(reader_for(member).get(pages_of(closed)[0])) == [
            ["Ines 1 plan over 15 s", "1", "0.0", "18.5 s"]
        ]

    @pytest.mark.parametrize("timing", [Timing.TIMED, Timing.UNTIMED])
    def test_a_set_that_leaves_no_choice_has_no_list(self, given: Given, member, timing) -> None:
        opens = NOON - timedelta(days=1, hours=13)
        a_set = given.a_set(opens, opens + timedelta(days=1), FOUR_ALIKE, timing=timing)
        plan_timed(member, a_set, 1, 9)
        for page in pages_of(a_set):
            assert list_of(reader_for(member).get(page)) == [], page

    def test_a_plan_that_is_withdrawn_leaves_it_and_comes_back(self, member, coach, closed) -> None:
        plan = plan_timed(member, closed, 1, 9)
        plan_timed(member, closed, 2, 11)
        page = pages_of(closed)[0]
        assert list_of(reader_for(member).get(page))[0][1] == "2"
        gone = corrections.withdraw_plan(plan=plan, by=coach, reason="mix-up", now=NOON)
        assert list_of(reader_for(member).get(page)) == [["Ines", "1", "0.0", "11.0 s"]]
        corrections.undo(correction=gone, by=coach, reason="it was not", now=NOON)
        assert list_of(reader_for(member).get(page)) == [["Ines", "2", "0.0", "10.0 s"]]


class TestProgress:
    def test_without_a_timed_plan_nothing_is_said_of_time(
        self, given: Given, member, closed
    ) -> None:
        given.a_plan(member, closed, 1, "D' R'", at=closed.opens_at)
        assert "Time of inspection" not in seen(reader_for(member).get(f"{ROOT}/progress/"))

    def test_one_timed_plan_beside_one_that_is_not(
        self, given: Given, member, coach, closed
    ) -> None:
        plan_timed(member, closed, 1, 14.24)
        given.a_plan(member, closed, 2, "D D D R'", at=closed.opens_at)
        for who, page in ((member, "progress"), (coach, f"coach/members/{member.pk}")):
            said = seen(reader_for(who).get(f"{ROOT}/{page}/"))
            assert (
                "Timed: 1 plan, 14.2 s on average. For each that is solved: 0.0 over the best."
                in said
            )
            assert (
                "Not timed, or not in time: 1 plan. For each that is solved: 2.0 over the best."
                in said
            )
            assert re.search(r"scramble 1 : best , 14\.2 s, give or take 0\.2 s", said)
            assert "Noted beside plans" not in said

    def test_all_with_a_second_look_have_no_mean(self, member, closed) -> None:
        for number in (1, 2):
            plan_timed(member, closed, number, 8, looked=True)
        said = seen(reader_for(member).get(f"{ROOT}/progress/"))
        assert "on average" not in said
        assert "Not timed, or not in time: 2 plans." in said
        assert "Noted beside plans: with a second look: 2." in said

    def test_over_late_and_unsolved_are_told_as_they_are(self, member, closed) -> None:
        plan_timed(member, closed, 1, 16.0)
        plan_timed(member, closed, 2, 20.0, written="U")
        said = seen(reader_for(member).get(f"{ROOT}/progress/"))
        assert "Timed: 1 plan, 16.0 s on average." in said
        assert "Not timed, or not in time: 1 plan. None of them is solved." in said
        assert "Noted beside plans: over 15 s: 1, late: 1." in said
        assert re.search(r"scramble 2 : not solved , 20\.0 s, give or take 0\.2 s, late", said)


def test_a_cube_that_differs_is_told_on_the_coachs_day(given: Given, member, coach) -> None:
    today = given.a_set()
    page = f"{ROOT}/coach/"
    sentence = "The cube of Ines differs from the picture of scramble 2."
    assert "differs" not in words(reader_for(coach).get(page))
    attempts.tell_that_cube_differs(membership=member, scramble=scramble_of(today, 2), now=NOON)
    assert sentence in words(reader_for(coach).get(page))
    assert sentence in words(reader_for(coach).get(f"{ROOT}/coach/sets/{today.pk}/"))
    reader_for(member).get(page, 403)
    assert sentence not in words(reader_for(member).get(f"{ROOT}/today/"))


class TestExcuse:
    @pytest.fixture
    def late(self, given: Given, member: Membership) -> Plan:
        a_set = given.a_set(timing=Timing.TIMED)
        inspect(member, scramble_of(a_set), 30)
        return planned(member, a_set)

    def test_a_coach_excuses_a_time_and_takes_it_back(self, late: Plan, member, coach) -> None:
        reader, page = reader_for(coach), f"{ROOT}/coach/plans/{late.pk}/"
        said = words(reader.get(page))
        assert "It counts 8: this set is timed only" in said
        assert "Excuse its time" in said
        assert "Take back that its time was excused" not in said
        wrong = reader.post(page, {"do": "excuse_time", "reason": ""}, status=400)
        assert "Say why, in a few words." in words(wrong)
        reader.post(page, {"do": "excuse_time", "reason": "bad line"}, status=302)
        said = words(reader.get(page))
        assert "The time is excused. The plan counts as its verdict says." in said
        assert "It counts 8" not in said
        assert "Excuse its time" not in said
        own = f"{ROOT}/sets/{late.scramble.scramble_set_id}"
        mine = words(reader_for(member).get(f"{own}/"))
        assert "The time of your plan for scramble 1 is excused: bad line." in mine
        beside = words(reader_for(member).get(f"{own}/table/"))
        assert "The time of a plan of Ines for scramble 1 is excused." in beside
        assert "bad line" not in beside
        logged = words(reader.get(f"{ROOT}/coach/corrections/"))
        assert "Kari excused the time of the plan of Ines for scramble 1 of" in logged
        reader.post(page, {"do": "charge_time", "reason": "it was not"}, status=302)
        assert "It counts 8: this set is timed only" in words(reader.get(page))
        logged = words(reader.get(f"{ROOT}/coach/corrections/"))
        assert "Kari took back: the time of Ines’s plan for scramble 1 of" in logged

    def test_a_plan_that_no_time_charges_has_nothing_to_excuse(
        self, given: Given, member, coach
    ) -> None:
        plan = given.a_plan(member, given.a_set(), 1, "D' R'")
        reader, page = reader_for(coach), f"{ROOT}/coach/plans/{plan.pk}/"
        assert "Excuse its time" not in words(reader.get(page))
        refused = reader.post(page, {"do": "excuse_time", "reason": "bad line"}, status=400)
        assert "No time charges this plan." in words(refused)


def test_the_finished_day_and_my_plans_say_what_the_table_counts(given: Given, member) -> None:
    """The best plan, out of time, is 8 in the table; so it is on the pages beside it."""
    a_set = given.a_set(
        timing=Timing.TIMED,
        scrambles=FOUR_ALIKE[:2],
        opens=NOON - timedelta(seconds=9),
    )
    inspect(member, scramble_of(a_set, 1), 30)
    planned(member, a_set, 1)
    inspect(member, scramble_of(a_set, 2), 5)
    planned(member, a_set, 2, "D D D R'")
    me = reader_for(member)
    today = words(me.get(f"{ROOT}/today/"))
    assert "Your plans: 10 over the best on 2 crosses." in today
    assert "Out of time: 1, each counts 8." in today
    assert "Look again at scramble 2: no other plan here lost more." in today
    mine = words(me.get(f"{ROOT}/plans/"))
    assert "2 of 2 planned · 2 moves over the best · 1 out of time" in mine
