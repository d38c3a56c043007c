"""My progress: what comes first, how far ahead, where points went; no surer than it is."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, Given, make_membership
from tests.history import BASE_TURN, past, weeks_of_plans
from tests.web.conftest import ROOT, reader_for, seen
from training import statistics
from training.models import Club, Drawn, Membership, Plan
from training.statistics import Interval, Tally, Trend
from training.web.pages.progress.weeks import trend_words
from training.web.parts.rate import show_rate
from training.web.saying.ideas import idea_meaning

PAGE = f"{ROOT}/progress/"
MONDAY = NOON + timedelta(days=5)
"""The Monday after: the first look that sees what closed this week."""

Clock = Callable[[datetime], None]


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
    assert "Where the points went" not in said


@pytest.mark.usefixtures("ines_lacks_it")
def test_the_page_begins_with_the_one_thing_its_size_and_what_to_do(
    member: Membership, clock: Clock
) -> None:
    clock(MONDAY)
    page = reader_for(member).get(PAGE)
    said = seen(page)
    first = said[said.index("Random sets that closed") : said.index("You see")]
    assert "in the last 8 weeks: 20 of 20 crosses solved." in first
    assert "Some of your moves are lost where this idea would help: base turn." in first
    assert "It cost 60 of 60 points." in first
    assert idea_meaning("base_turn") in first
    assert "Look for it before you plan, and practise it." in first
    assert first.count("U' R' B2 D'") == 2, "two plans that show it"
    assert f'href="{ROOT}/practice/"' in page
    assert re.search(rf'href="{ROOT}/sets/\d+/[1-5]/"', page)
    # The account: the idea with its rate, and the flag by the target.
    limits = statistics.wilson(0, 20)
    likely = f"likely 0 to {round(100 * limits.high)} in 100"
    # Plainly first; the count and how sure it is are a tap away.
    assert f"base turn 60 none so far 0 of 20 {likely} Likely needs work" in said
    assert re.search(r"<summary>0 of 20</summary>\s*likely 0 to", page)
    assert "60 points on 20 crosses." in said
    assert "%" not in said


@pytest.mark.usefixtures("ines_lacks_it")
def test_ideas_are_told_by_the_look_of_monday(member: Membership, clock: Clock) -> None:
    # On Wednesday the five plans of Tuesday are in the account, and not yet in a look.
    said = seen(reader_for(member).get(PAGE))
    assert re.search(r"base turn 60 none so far 0 of 15 .* the last look was on Monday\b", said)
    # Until when each figure counts stands beside it, before anything is unfolded.
    assert "Points up to now; how often an idea was answered up to Monday 23 November." in said
    clock(MONDAY)
    assert re.search(r"base turn 60 none so far 0 of 20 ", seen(reader_for(member).get(PAGE)))


@pytest.mark.usefixtures("ines_lacks_it")
def test_what_to_work_on_says_until_when_each_figure_counts(
    given: Given, member: Membership, clock: Clock
) -> None:
    opens = NOON - timedelta(days=8)
    crosses = given.a_set(
        opens=opens, closes=opens + timedelta(hours=9), series=None, scrambles=("R D",) * 12
    )
    past(given, member, crosses, *[None] * 12)
    clock(MONDAY)
    said = seen(reader_for(member).get(PAGE))
    assert "Up to Monday 30 November: called for in 20 plans, answered in 0: none so far." in said
    assert "60 moves lost to it, up to now." in said


@pytest.mark.usefixtures("ines_lacks_it")
def test_a_coach_reads_the_same_and_is_led_to_the_plans(
    member: Membership, coach: Membership, clock: Clock
) -> None:
    clock(MONDAY)
    page = reader_for(coach).get(address_of(member))
    assert "Ines’s progress" in seen(page)
    assert "First: base turn" in seen(page)
    assert "It cost 60 of 60 points." in seen(page)
    plans = set(Plan.objects.filter(membership=member).values_list("pk", flat=True))
    linked = {int(pk) for pk in re.findall(rf"{ROOT}/coach/plans/(\d+)/", page)}
    assert linked
    assert linked <= plans
    # Somebody else's plans are never called the reader's; what the member reads stands quoted.
    said = seen(page.partition("<main")[2].partition("<footer")[0])
    quoted, *more = re.findall(r"“[^”]+”", said)
    assert quoted.startswith("“Some of your moves")
    assert not more
    assert not re.search(r"\byou\b|\byour\b|\bMy\b", said.replace(quoted, ""), re.IGNORECASE)
    # The way to one's own practice is in the frame, not beside somebody else's plans.
    assert f'href="{ROOT}/practice/"' not in page.partition("<footer")[0]


@pytest.mark.usefixtures("ines_lacks_it")
def test_the_others_stand_out_in_nothing_they_must_work_on(club: Club, clock: Clock) -> None:
    clock(MONDAY)
    other = Membership.objects.select_related("club").get(club=club, display_name="M0")
    said = seen(reader_for(other).get(PAGE))
    assert "No single thing yet" in said
    assert "Nothing was lost in 20 solved plans." in said
    assert "likely needs work" not in said.lower()


def test_a_slip_that_costs_most_is_named_before_any_idea(given: Given, member: Membership) -> None:
    """Eight of twelve plans do not solve, each by one turn the wrong way round."""
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(
        opens=opens, closes=opens + timedelta(days=1), series=None, scrambles=("R D",) * 12
    )
    past(given, member, a_set, *["D R'"] * 8, *["D' R'"] * 4)
    said = seen(reader_for(member).get(PAGE))
    assert "In some of your plans one turn goes the wrong way." in said
    assert "8 of your 12 crosses went wrong in this way. It cost 64 of 64 points." in said
    assert "Trace it twice, then write." in said
    assert "a turn the wrong way: 8 plans" in said


def test_no_plan_is_named_where_it_costs_most(given: Given, member: Membership) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5)
    past(given, member, a_set, "D' R'", None, None, None, None)
    said = seen(reader_for(member).get(PAGE))
    assert "For some crosses you had no plan. It cost 32 of 32 points." in said
    assert "Begin with crosses of two or three moves: practice offers them." in said


def test_what_was_not_handed_in_is_asked_about_kindly(given: Given, member: Membership) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    given.a_set(opens=opens, closes=opens + timedelta(days=1))
    page = reader_for(member).get(PAGE)
    said = seen(page)
    assert "Some crosses you did not hand in, and each of these costs 8 points." in said
    assert "Would another time of day suit you better?" in said
    # A question, not an exercise.
    assert f'href="{ROOT}/practice/"' not in page.partition("<main")[2].partition("<footer")[0]


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
        self, given: Given, member: Membership, clock: Clock
    ) -> None:
        opens = NOON - timedelta(days=1, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",))
        past(given, member, a_set, BASE_TURN[2])
        clock(MONDAY)
        said = seen(reader_for(member).get(PAGE))
        assert "base turn 3 0 of 1 Not enough evidence yet: 4 more needed." in said
        assert "likely 0" not in said
        assert "Too few solved plans to speak of habits." in said
        assert (
            "Too early to speak of a trend: 0 weeks with plans that others made too, "
            "and it takes 6." in said
        )
        # A plan or two says nothing of how far ahead, nor of one thing to begin with.
        assert "How far ahead: too few solved plans to say" in said
        assert "It takes 5 solved plans to draw it." in said
        assert "No single thing yet" in said

    def test_of_rarely_called_techniques_it_never_says_how_many_more(
        self, given: Given, member: Membership, clock: Clock
    ) -> None:
        """A worked vector of the definitions: its one shortest solution inserts a flipped edge."""
        opens = NOON - timedelta(days=1, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R B R'",))
        past(given, member, a_set, "R B' R'")
        clock(MONDAY)
        said = seen(reader_for(member).get(PAGE))
        assert "flipped-edge insert 0 1 of 1 Not enough evidence yet: rarely called for." in said

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
        said = "Gaining on the others: about 0.2 points per plan each week."
        assert trend_words(better, weeks) == said
        worse = statistics.trend(weeks[::-1])
        said = "The others are gaining: about 0.2 points per plan each week."
        assert trend_words(worse, weeks[::-1]) == said
        unclear = Trend(s=3, variance=28.3, z=0.4, p=0.7, slope=0.1)
        assert "Not enough evidence of a change yet" in trend_words(unclear, weeks)


class TestReach:
    def test_moves_taken_back_at_the_end_are_said_of_the_end(
        self, given: Given, member: Membership
    ) -> None:
        opens = NOON - timedelta(days=1, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5)
        past(given, member, a_set, *["D' R' U U'"] * 5)
        said = seen(reader_for(member).get(PAGE))
        assert "Some of your plans take a move back, or use two where one would do." in said
        assert "The last move is often one too many" in said

    def test_the_picture_says_in_words_what_it_shows(
        self, given: Given, member: Membership
    ) -> None:
        """Three of five plans lose a move that arrives at 1, two none: S(1) is 1, S(2) 2/5."""
        opens = NOON - timedelta(days=1, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5)
        past(given, member, a_set, *["D' R'"] * 2, *["D' U R'"] * 3)
        page = reader_for(member).get(PAGE)
        label = re.search(r'<svg class="reach"[^>]*aria-label="([^"]+)"', page)
        assert label
        assert label[1] == (
            "last 1 move: 10 of 10, likely 6 to 10; last 2 moves: 4 of 10, likely 1 to 7"
        )
        assert "The line beside a column: how many it may be in the long run" in seen(page)
        assert page.count('class="reach-limits"') == 2
        assert "You see 1 move ahead" in seen(page)
        assert "Next step: 2 moves." in seen(page)
        # Two moves at best: exact twice of five, and nobody else to stand beside it.
        assert re.search(r"exact all others", seen(page)) is None, "lengths from three up are told"


def test_a_week_stands_in_points_against_the_others(
    given: Given, club: Club, member: Membership
) -> None:
    other = make_membership(club, "M0")
    for weeks_ago, plan in ((2, "D' R'"), (1, "F")):
        opens = NOON - timedelta(weeks=weeks_ago, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1))
        past(given, member, a_set, plan)
        past(given, other, a_set, "D' R'")
    said = seen(reader_for(member).get(PAGE))
    assert "9 November 1 0 as the others 16 November 1 8 80 more in 10 plans" in said
    # This week others may have planned; the member has not.
    assert "23 November 0 0 no plan that week" in said
    assert "Exactly, per plan 9 November: as the others 16 November: 8.0 more" in said


def test_every_idea_named_is_explained_one_tap_away(given: Given, member: Membership) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1))
    past(given, member, a_set, "D' R'")
    page = reader_for(member).get(PAGE)
    at = page.index("<details", page.index("</details>"))
    told = seen(page[at : page.index("</details>", at)])
    for name, meaning in (
        ("Shared turn", "One turn helps two edges at once."),
        ("Step aside", "A finished edge leaves the bottom for a moment"),
    ):
        assert f"{name}. {meaning}" in told


def test_homework_stands_apart(given: Given, member: Membership, clock: Clock) -> None:
    clock(MONDAY)
    weeks_of_plans(given, member, 1, answered=True)
    assert "n picked sets" not in seen(reader_for(member).get(PAGE))
    opens = NOON - timedelta(days=3)
    picked = given.a_set(
        opens=opens, closes=opens + timedelta(days=1), drawn=Drawn.PICKED, kind="homework"
    )
    past(given, member, picked, BASE_TURN[2])
    said = seen(reader_for(member).get(PAGE))
    assert "Picked sets are drawn for a lesson, so they are counted apart." in said
    assert re.search(
        r"base turn 0 always 5 of 5 likely \d+ to 100 in 100 .*? In picked sets: 0 of 1\.", said
    )


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

    weeks_of_plans(given, member, 4, answered=False)
    weeks_of_plans(given, make_membership(club, "M0"), 4, answered=True)
    few = queries()
    weeks = [make_membership(club, f"M{n}") for n in (1, 2)]
    for one in weeks:
        weeks_of_plans(given, one, 4, answered=True)
    assert queries() == few
