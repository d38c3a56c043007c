"""A lesson: evidence that can be shown to the group, and a set for it in one action."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, Given, make_membership
from tests.history import BASE_TURN, past, weeks_of_plans
from tests.web.conftest import ROOT, reader_for, seen, words
from training.models import Club, Drawn, Kind, Membership, ScrambleSet
from training.selectors import lessons

PAGE = f"{ROOT}/coach/lessons/base_turn/"
GOOD = {
    "scrambles": 4,
    "shortest": 3,
    "longest": 5,
    "occasion": "homework",
    "opens_day": "2026-11-27",
    "days": 3,
}
EVENING = GOOD | {"occasion": "club_night", "begins": "18:30", "minutes": 45, "days": ""}


def notices(page: str) -> list[tuple[str, str]]:
    """The notices at the head of a page: how each is shown, and what it says."""
    found = re.findall(r'<div[^>]*class="notice ([\w-]*)"[^>]*>(.*?)</div>', page, re.DOTALL)
    return [(tone, seen(words).strip()) for tone, words in found]


@pytest.fixture
def one_missed_it(given: Given, club: Club) -> ScrambleSet:
    """A cross that Astrid and Bojan answered, each in a way of their own, and Cyril did not."""
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",))
    for name, plan in (("Astrid", "D' R'"), ("Bojan", "z2 U' L'"), ("Cyril", BASE_TURN[2])):
        past(given, make_membership(club, name), a_set, plan)
    return a_set


@pytest.mark.usefixtures("one_missed_it")
class TestEvidence:
    def test_two_plans_that_answered_and_one_that_did_not_without_names(
        self, coach: Membership
    ) -> None:
        page = reader_for(coach).get(PAGE)
        said = seen(page)
        assert "Base turn" in said
        assert "Tuesday 24 November, scramble 1: best 2, 3 moves lost to the idea" in said
        assert re.findall(r'<h4 class="\w+">\s*([^<]+?)\s*<', page) == [
            "Plan 1: answered it",
            "Plan 2: answered it",
            "Plan 3: did without",
        ]
        for name in ("Astrid", "Bojan", "Cyril"):
            assert name not in page
        assert "/coach/plans/" not in page

    def test_names_when_asked_for(self, coach: Membership) -> None:
        page = reader_for(coach).get(f"{PAGE}?names=1")
        said = seen(page)
        assert "Astrid’s plan: answered it" in said
        assert "Cyril’s plan: did without" in said
        assert "Hide the names before you show this page." in said
        assert "/coach/plans/" in page
        # Stepping keeps the names as they are.
        assert "?names=1&amp;cross=1&amp;plan=2&amp;step=3#cross-1" in page

    def test_each_plan_is_stepped_by_plain_links(self, coach: Membership) -> None:
        reader = reader_for(coach)
        start = reader.get(PAGE)
        net = re.search(r'data-net="(\w{54})"', start)
        assert net
        assert "Before the first move: 2 moves left" in seen(start)
        after = reader.get(f"{PAGE}?cross=1&plan=2&step=2")
        assert "After U': 3 moves left" in seen(after)
        assert f'data-net="{net[1]}"' not in after
        # A step that is not there is brought to the nearest that is.
        assert "After D': solved" in seen(reader.get(f"{PAGE}?cross=1&plan=9&step=99"))
        assert "Before the first move" in seen(reader.get(f"{PAGE}?cross=7&plan=1&step=1"))

    def test_ids_are_unique_however_many_crosses(
        self, given: Given, club: Club, coach: Membership
    ) -> None:
        opens = NOON - timedelta(days=2, hours=13)
        another = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 3)
        past(given, make_membership(club, "Dag"), another, *[BASE_TURN[2]] * 3)
        ids = re.findall(r'\sid="([^"]+)"', reader_for(coach).get(PAGE))
        assert len(ids) == len(set(ids))
        assert {"cross-1", "cross-2", "cross-3"} <= set(ids)


class TestHomework:
    def test_one_action_gives_it(self, coach: Membership, club: Club) -> None:
        reader = reader_for(coach)
        reader.post(PAGE, GOOD, status=302)
        made = ScrambleSet.objects.get()
        assert (made.kind, made.drawn, made.scrambles_wanted) == (Kind.HOMEWORK, Drawn.PICKED, 4)
        assert made.profile is not None
        assert made.profile["technique"] == "base_turn"
        assert made.profile["lengths"] == [3, 5]
        assert made.day == date(2026, 11, 27)
        page = reader.get(PAGE)
        assert notices(page) == [
            (
                "is-kept",
                "Homework is given: 4 crosses that call for base turn, from Friday to Sunday.",
            )
        ]
        said = seen(page)
        # The midnight with which Thursday ends: what is to come is listed already.
        assert "Homework from Friday opens tomorrow at midnight" in said

    def test_what_has_not_opened_can_be_called_off(
        self, given: Given, coach: Membership, other_club: Club
    ) -> None:
        reader = reader_for(coach)
        reader.post(PAGE, GOOD, status=302)
        made = ScrambleSet.objects.get()
        assert f'name="call_off" value="{made.pk}"' in reader.get(PAGE)
        reader.post(PAGE, {"call_off": made.pk}, status=302)
        assert notices(reader.get(PAGE)) == [
            ("is-kept", "It is called off. Nobody saw anything of it.")
        ]
        assert not ScrambleSet.objects.exists()
        # One that has opened, a daily one, another club's, none at all.
        opened = given.a_set(drawn=Drawn.PICKED, kind=Kind.HOMEWORK)
        later = {"opens": NOON + timedelta(days=1), "closes": NOON + timedelta(days=2)}
        theirs = given.a_set(club=other_club, drawn=Drawn.PICKED, kind=Kind.HOMEWORK, **later)
        daily = given.a_set(**later)
        for number in (opened.pk, theirs.pk, daily.pk, "x", "", "²", "9" * 5000):
            reader.post(PAGE, {"call_off": number}, status=302)
            assert notices(reader.get(PAGE)) == [
                ("is-loss", "This set has opened or was called off already.")
            ]
        assert ScrambleSet.objects.count() == 3
        assert "Call it off" not in reader.get(PAGE)

    def test_a_club_night_is_given_the_same_way(self, coach: Membership) -> None:
        reader = reader_for(coach)
        # What stands in the fields of homework does not matter then.
        reader.post(PAGE, EVENING | {"days": "many"}, status=302)
        made = ScrambleSet.objects.get()
        assert (made.kind, made.drawn) == (Kind.CLUB_NIGHT, Drawn.PICKED)
        # Half past six in Oslo, which is an hour ahead of UTC in winter.
        assert made.opens_at == datetime(2026, 11, 27, 17, 30, tzinfo=UTC)
        assert made.closes_at - made.opens_at == timedelta(minutes=45)
        assert notices(reader.get(PAGE)) == [
            (
                "is-kept",
                "A club night is set: 4 crosses that call for base turn, "
                "Friday from 18:30 to 19:15.",
            )
        ]

    def test_one_cross_calls_and_several_call(self, coach: Membership) -> None:
        reader = reader_for(coach)
        reader.post(PAGE, GOOD | {"scrambles": 1}, status=302)
        assert "1 cross that calls for base turn, from" in seen(reader.get(PAGE))

    def test_lengths_and_day_are_filled_in(
        self, given: Given, coach: Membership, member: Membership
    ) -> None:
        weeks_of_plans(given, member, 1, answered=True)
        page = reader_for(coach).get(PAGE)
        values = dict(re.findall(r'name="(\w+)" value="([^"]+)"', page))
        assert (values["shortest"], values["longest"]) == ("3", "4")
        assert values["opens_day"] == "2026-11-26"
        assert page.count('class="button"') == 1

    @pytest.mark.parametrize(
        ("wrong", "said", "field"),
        [
            ({"scrambles": 13}, "Give 1 to 12 crosses.", "scrambles"),
            ({"scrambles": ""}, "Give 1 to 12 crosses.", "scrambles"),
            ({"longest": 9}, "Write a number of moves from 2 to 8.", "longest"),
            ({"shortest": "few"}, "Write a number of moves from 2 to 8.", "shortest"),
            ({"shortest": 6}, "the smaller one first", "shortest"),
            ({"opens_day": "2026-11-20"}, "This day has passed.", "opens_day"),
            ({"opens_day": "soon"}, "Write the date as year-month-day", "opens_day"),
            ({"days": 0}, "Homework is open for 1 to 28 days.", "days"),
            ({"days": ""}, "Homework is open for 1 to 28 days.", "days"),
            ({"occasion": ""}, "Choose homework or a club night.", "occasion"),
            ({"occasion": "feast"}, "Choose homework or a club night.", "occasion"),
            (EVENING | {"minutes": 241}, "A club night is open for 5 to 240 minutes.", "minutes"),
            (EVENING | {"minutes": ""}, "A club night is open for 5 to 240 minutes.", "minutes"),
            (EVENING | {"begins": ""}, "Write the time as hours and minutes", "begins"),
            (EVENING | {"begins": "evening"}, "Write the time as hours and minutes", "begins"),
            (EVENING | {"opens_day": "2026-11-24"}, "This evening has passed.", "begins"),
            (EVENING | {"opens_day": "9999-12-31"}, "Choose a date between", "opens_day"),
        ],
    )
    def test_what_cannot_be_is_refused_at_its_field_and_kept(
        self, coach: Membership, wrong: dict[str, object], said: str, field: str
    ) -> None:
        page = reader_for(coach).post(PAGE, GOOD | wrong, status=400)
        assert said in seen(page)
        assert f'href="#id_{field}"' in page
        assert words(page).lstrip().startswith("Error: Lesson")
        assert not ScrambleSet.objects.exists()

    def test_lengths_that_no_cross_has_are_refused(
        self, coach: Membership, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(lessons, "matching_crosses", lambda *_: 0)
        page = reader_for(coach).post(PAGE, GOOD, status=400)
        assert "No cross of these lengths calls for base turn." in seen(page)
        assert not ScrambleSet.objects.exists()

    def test_crosses_to_choose_from_are_counted_for_what_is_typed(
        self, coach: Membership, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        asked: list[tuple[str, int, int]] = []

        def count(code: str, shortest: int, longest: int) -> int:
            asked.append((code, shortest, longest))
            return 12345

        monkeypatch.setattr(lessons, "matching_crosses", count)
        said = seen(reader_for(coach).get(f"{PAGE}?shortest=5&longest=6"))
        assert asked == [("base_turn", 5, 6)]
        assert "12,345 of the 190,080 crosses match." in said
        # What was typed into a form that is refused stays in it, and is what is counted.
        asked.clear()
        reader_for(coach).post(
            PAGE, GOOD | {"scrambles": 13, "shortest": 6, "longest": 7}, status=400
        )
        assert asked == [("base_turn", 6, 7)]

    def test_before_and_after_stand_beside_its_own_rate(
        self, given: Given, coach: Membership, member: Membership
    ) -> None:
        # The four weeks before the homework belong to neither window.
        spans = [NOON - timedelta(days=n, hours=13) for n in (40, 3, 1)]
        before, homework, after = (
            given.a_set(
                opens=opens,
                closes=opens + timedelta(days=1),
                scrambles=("R D",) * 5,
                drawn=Drawn.PICKED if place == 1 else Drawn.AS_DRAWN,
                kind=Kind.HOMEWORK if place == 1 else Kind.DAILY,
            )
            for place, opens in enumerate(spans)
        )
        past(given, member, before, *[BASE_TURN[2]] * 5)
        past(given, member, homework, *["D' R'"] * 4, BASE_TURN[2])
        past(given, member, after, *["D' R'"] * 5)
        said = seen(reader_for(coach).get(PAGE))
        assert "random sets before random sets since" in said
        assert "Before and since: random sets, 8 weeks each, of those taught" in said
        assert "so the 4 weeks before the lesson are left out." in said
        assert "Homework from Sunday 4 of 5 0 of 5 5 of 5 too early to tell" in said
        assert "1 member handed in for it. There is nobody to set beside them yet." in said

    def test_homework_that_runs_shows_no_rate_yet(
        self, given: Given, coach: Membership, member: Membership
    ) -> None:
        running = given.a_set(drawn=Drawn.PICKED, kind=Kind.HOMEWORK)
        given.a_plan(member, running, 1, "D' R'")
        said = seen(reader_for(coach).get(PAGE))
        assert "open until tonight at midnight" in said
        assert "1 of 1" not in said


def test_lessons_are_for_coaches_and_of_what_can_be_taught(
    member: Membership, coach: Membership, outsider: Membership
) -> None:
    reader_for(member).get(PAGE, status=403)
    reader_for(member).post(PAGE, GOOD, status=403)
    reader_for(outsider).post(PAGE, GOOD, status=404)
    reader_for(member).get(f"{ROOT}/coach/lessons/undone_moves/", status=403)
    reader_for(outsider).get(f"{ROOT}/coach/lessons/undone_moves/", status=404)
    for code in ("spare_base_moves", "no_plan", "unsolved", "juggling"):
        reader_for(coach).get(f"{ROOT}/coach/lessons/{code}/", status=404)
    # There is nothing to draw for a habit.
    reader_for(coach).post(f"{ROOT}/coach/lessons/undone_moves/", GOOD, status=400)
    assert not ScrambleSet.objects.exists()


def test_the_number_of_queries_does_not_grow(given: Given, club: Club, coach: Membership) -> None:
    reader = reader_for(coach)

    def queries() -> int:
        reader.get(PAGE)
        with CaptureQueriesContext(connection) as captured:
            reader.get(PAGE)
        return len(captured)

    weeks_of_plans(given, make_membership(club, "M0"), 2, answered=False)
    few = queries()
    for n in (1, 2, 3):
        weeks_of_plans(given, make_membership(club, f"M{n}"), 2, answered=n == 1)
    assert queries() == few
