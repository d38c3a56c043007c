"""My progress: at most two things to work on, each with evidence, nothing surer than it is."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from solverworker.review import check_plan
from tests.conftest import NOON, Given, make_membership
from tests.history import BASE_TURN, past, weeks_of_plans
from tests.web.conftest import ROOT, reader_for, seen
from training import statistics
from training.models import Club, Drawn, Membership, Plan
from training.statistics import Interval, Tally, Trend
from training.web.pages.progress.weeks import trend_words
from training.web.parts.rate import show_rate

PAGE = f"{ROOT}/progress/"


def address_of(member: Membership) -> str:
    return f"{ROOT}/coach/members/{member.pk}/"


@pytest.fixture
def ines_lacks_it(given: Given, club: Club, member: Membership) -> None:
    """Four weeks in which everybody but Ines answers one technique."""
    weeks_of_plans(given, member, 4, answered=False)
    for n in range(5):
        weeks_of_plans(given, make_membership(club, f"M{n}"), 4, answered=True)


def test_without_a_closed_set_the_page_says_what_will_fill_it(member: Membership) -> None:
    said = seen(reader_for(member).get(PAGE))
    assert "Nothing to go by yet" in said
    assert "Once a set with plans has closed" in said
    assert "What moves were lost to" not in said


@pytest.mark.usefixtures("ines_lacks_it")
def test_one_thing_to_work_on_with_its_evidence(member: Membership) -> None:
    page = reader_for(member).get(PAGE)
    said = seen(page)
    assert "One thing to work on: base turn" in said
    limits = statistics.wilson(0, 20)
    assert f"answered in 0: likely 0 to {round(100 * limits.high)} in 100" in said
    assert "60 moves lost to it" in said
    assert "base turn 60 0 of 20" in said
    assert "likely needs work" in said
    assert said.count("U' R' B2 D'") == 3, "three plans that show it"
    assert re.search(rf'href="{ROOT}/sets/\d+/[1-5]/"', page)
    assert f'href="{ROOT}/practice/"' in page
    assert "%" not in said


@pytest.mark.usefixtures("ines_lacks_it")
def test_a_coach_reads_the_same_and_is_led_to_the_plans(
    member: Membership, coach: Membership
) -> None:
    page = reader_for(coach).get(address_of(member))
    assert "Ines’s progress" in seen(page)
    assert "One thing to work on: base turn" in seen(page)
    plans = set(Plan.objects.filter(membership=member).values_list("pk", flat=True))
    linked = {int(pk) for pk in re.findall(rf"{ROOT}/coach/plans/(\d+)/", page)}
    assert linked
    assert linked <= plans
    # Somebody else's plans are never called the reader's.
    said = seen(page.partition("<main")[2].partition("<footer")[0])
    assert not re.search(r"\byou\b|\byour\b|\bMy\b", said, re.IGNORECASE)
    # The way to one's own practice is in the frame, not beside somebody else's plans.
    assert f'href="{ROOT}/practice/"' not in page.partition("<footer")[0]


@pytest.mark.usefixtures("ines_lacks_it")
def test_the_others_stand_out_in_nothing_they_must_work_on(club: Club) -> None:
    other = Membership.objects.select_related("club").get(club=club, display_name="M0")
    said = seen(reader_for(other).get(PAGE))
    assert "Nothing stands out to work on" in said
    assert "No move was lost in 20 solved plans." in said


def test_a_coach_competes_and_reads_the_own_progress_too(coach: Membership) -> None:
    assert "My progress, seen by you and the coaches" in seen(reader_for(coach).get(PAGE))


def test_nobody_else_reads_it(
    member: Membership, second: Membership, outsider: Membership, coach: Membership
) -> None:
    reader_for(second).get(address_of(member), status=403)
    reader_for(outsider).get(address_of(member), status=404)
    reader_for(coach).get(address_of(outsider), status=404)


class TestSmallNumbers:
    def test_under_five_a_count_stands_alone_and_says_how_many_more(
        self, given: Given, member: Membership
    ) -> None:
        opens = NOON - timedelta(days=1, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1))
        past(given, member, a_set, BASE_TURN[2])
        said = seen(reader_for(member).get(PAGE))
        assert "base turn 3 0 of 1 not enough evidence yet: 4 more needed" in said
        assert "likely 0" not in said
        assert "Too few solved plans to speak of habits." in said
        assert "Too early to speak of a trend: 1 week with solved plans, and it takes 6." in said
        # A plan or two says nothing of where moves go.
        assert "Too few moves were lost to say where" in said

    def test_of_rarely_called_techniques_it_never_says_how_many_more(
        self, given: Given, member: Membership
    ) -> None:
        weeks_of_plans(given, member, 1, answered=True)
        said = seen(reader_for(member).get(PAGE))
        assert said.count("not enough evidence yet: rarely called for") == 2

    def test_the_band_comes_with_the_fifth_opportunity(self) -> None:
        four, five = (show_rate(Tally(2, n), statistics.wilson(2, n)) for n in (4, 5))
        assert (four.count, four.likely, four.band) == ("2 of 4", "", None)
        assert five.band is not None
        interval = Interval(0.4, 0.137, 0.734)
        found = show_rate(Tally(2, 5), interval, target=0.7)
        assert found.likely == "likely 14 to 73 in 100"
        assert found.band is not None
        assert found.band.target is not None
        assert found.band.left < found.band.seen < found.band.left + found.band.extent
        assert found.band.target < found.band.left + found.band.extent

    def test_a_trend_is_spoken_of_when_chance_does_not_explain_it(self) -> None:
        weeks = [1.0, 0.9, 0.6, 0.4, 0.3, 0.1]
        better = statistics.trend(weeks)
        said = "Gaining on the group: about 0.2 moves per plan each week."
        assert trend_words(better, weeks) == said
        worse = statistics.trend(weeks[::-1])
        said = "The group is gaining: about 0.2 moves per plan each week."
        assert trend_words(worse, weeks[::-1]) == said
        unclear = Trend(s=3, variance=28.3, z=0.4, p=0.7, slope=0.1)
        assert "No clear trend against the group" in trend_words(unclear, weeks)


def test_where_moves_are_lost_is_said_when_it_is_clear(given: Given, member: Membership) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    # The first worked example of the definitions: six moves at best.
    scramble = "F2 B U2 D' U2 L R D L' F' B L U D"
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=(scramble,) * 3)
    (shortest, *_) = check_plan(scramble, "", colours=["yellow"]).shortest
    past(given, member, a_set, *[f"{shortest.text} U U'"] * 3)
    said = seen(reader_for(member).get(PAGE))
    assert "Most are lost at the end: these plans look too short a way ahead." in said


def test_a_week_without_a_solved_plan_says_so(given: Given, member: Membership) -> None:
    for weeks_ago, plan in ((2, "D' R'"), (1, "F")):
        opens = NOON - timedelta(weeks=weeks_ago, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1))
        past(given, member, a_set, plan)
    said = seen(reader_for(member).get(PAGE))
    assert "9 November 1 0 as the group 16 November 0 0 no solved plan" in said


def test_every_idea_named_is_explained_one_tap_away(given: Given, member: Membership) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1))
    past(given, member, a_set, "D' R'")
    page = reader_for(member).get(PAGE)
    told = seen(page[page.index("<details") : page.index("</details>")])
    for name, meaning in (
        ("Shared turn", "One turn helps two edges at once."),
        ("Step aside", "A finished edge leaves the bottom for a moment"),
    ):
        assert f"{name}. {meaning}" in told


def test_homework_stands_apart(given: Given, member: Membership) -> None:
    weeks_of_plans(given, member, 1, answered=True)
    assert "in picked sets" not in seen(reader_for(member).get(PAGE))
    opens = NOON - timedelta(days=3)
    picked = given.a_set(
        opens=opens, closes=opens + timedelta(days=1), drawn=Drawn.PICKED, kind="homework"
    )
    past(given, member, picked, BASE_TURN[2])
    said = seen(reader_for(member).get(PAGE))
    assert "in picked sets" in said
    assert "Picked sets are drawn for a lesson, so they are counted apart." in said
    assert re.search(r"base turn 0 5 of 5 likely \d+ to 100 in 100 .*? 0 of 1 ", said)


def test_habits_are_counts_of_solved_plans(given: Given, member: Membership) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5)
    past(given, member, a_set, "D' R'", "D' R'", "z2 U' L'", "z2 U' L'", "D' x R'")
    said = seen(reader_for(member).get(PAGE))
    # Turned over by z2, the yellow cross ends on top.
    assert "The cross ends on the bottom in 2 of 5 solved plans." in said
    assert "turned after the first move in 1 of 5 solved plans" in said


@pytest.mark.parametrize("which", ["own", "coach"])
def test_the_number_of_queries_does_not_grow(
    which: str, given: Given, club: Club, member: Membership, coach: Membership
) -> None:
    reader = reader_for(member if which == "own" else coach)
    address = PAGE if which == "own" else address_of(member)

    def queries() -> int:
        reader.get(address)
        with CaptureQueriesContext(connection) as captured:
            reader.get(address)
        return len(captured)

    weeks_of_plans(given, member, 1, answered=False)
    weeks_of_plans(given, make_membership(club, "M0"), 1, answered=True)
    few = queries()
    weeks = [make_membership(club, f"M{n}") for n in (1, 2)]
    for one in weeks:
        weeks_of_plans(given, one, 4, answered=True)
    assert queries() == few
