"""What plans leave, on pages: the verdict, the coach's page of a plan, progress."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from solverworker import tasks
from tests.conftest import NOON, make_membership
from tests.history import past, weeks_of_plans
from tests.web.conftest import ROOT, reader_for, seen
from training.account import Account, Missing
from training.entry import Entry
from training.models import Outlook, Plan
from training.reach import reach_of
from training.services import outlooks
from training.services.corrections import withdraw_plan
from training.services.plans import hand_in
from training.statistics import Tally

CROSS, PAIR = "D' R'", "U R U' R'"

THREE = ("R F D2", "D2 F' R'", "U D2 F' R' U'")
"""Yellow cross: a scramble of three moves, taken back, and the same with a turn of the top more."""


def make_all() -> None:
    while outlooks.work(make=tasks.outlook_maker):
        pass


def with_pair(given, who, a_set, number, moves, pair) -> Plan:
    plan = hand_in(
        membership=who,
        scramble=given.scramble(a_set, number),
        entry=Entry(moves, pair=pair),
        key=uuid.uuid4(),
        now=NOON,
    ).plan
    assert tasks.check_plan.run(plan.pk)
    return plan


# The verdict -----------------------------------------------------------------------


def test_a_verdict_says_what_the_plan_leaves_and_what_the_pair_is_worth(given, member) -> None:
    a_set = given.a_set(answers_to="own_plan")
    plan = with_pair(given, member, a_set, 1, CROSS, PAIR)
    here = f"{ROOT}/sets/{a_set.pk}/1/"
    page = reader_for(member).get(here)
    assert "This is still being worked out." in seen(page)
    assert f'hx-get="{here}"' in page
    make_all()
    page = reader_for(member).get(here)
    said = seen(page)
    assert "still being worked out" not in said
    # Source: R D, D' R' leaves the cube solved, all its pairs in.
    assert "With the cross a first pair is in already: green and red." in said
    assert "No cross in 2 moves leaves a nearer one." in said
    assert "No cross one move longer makes cross and first pair shorter together." in said
    assert "It is the only shortest cross, so the hands have no choice." in said
    assert "Shorter in another colour: white 1 and orange 1." in said
    assert "The first pair as written U R U' R'" in said
    # Four moves that take the front right pair out and leave others in.
    assert "Your first pair is in:" in said
    assert "From where the cross ends nothing had to be turned: a pair was in." in said
    assert "Cross and first pair took 6 moves together. The best is 2: D' R'" in said
    Outlook.objects.filter(plan=plan).update(facts=None)
    assert "still being worked out" in seen(reader_for(member).get(here))


def test_long_after_the_verdict_a_page_without_it_asks_for_nothing(given, member, clock) -> None:
    a_set = given.a_set(answers_to="open")
    given.a_plan(member, a_set, 1, CROSS)
    clock(NOON + timedelta(minutes=6))
    page = reader_for(member).get(f"{ROOT}/sets/{a_set.pk}/1/")
    assert "still being worked out" in seen(page)
    assert "hx-get" not in page.partition("<main")[2]


def test_nothing_of_it_is_on_a_page_that_is_sealed(given, member, coach, clock) -> None:
    # Data that could leak: another cross that leaves less, and a pair with its best.
    a_set = given.a_set(scrambles=("B U2 F B U B'",) * 2, colours=["white"], answers_to="closing")
    with_pair(given, member, a_set, 1, "z2 B U R2 D F", "U R U'")
    make_all()
    row = Outlook.objects.get()
    assert row.facts["shortest"]["left"] < row.facts["own"]["left"]
    secrets = [row.facts["shortest"]["way"], row.facts["longer"]["way"], "leaves one in"]
    secrets += [row.facts["pair_ahead"]["best_way"], "at least", "easier on the hands"]
    sealed = reader_for(member)
    for address in (
        f"{ROOT}/sets/{a_set.pk}/1/",
        f"{ROOT}/sets/{a_set.pk}/",
        f"{ROOT}/today/",
        f"{ROOT}/progress/",
        "/data/",
    ):
        said = seen(sealed.get(address)).replace("&#x27;", "'")
        assert not [one for one in secrets if one in said], address
    waiting = seen(sealed.get(f"{ROOT}/sets/{a_set.pk}/1/"))
    assert "For the first pair: U R U'" in waiting
    # A coach who does not compete reads it now, the member once the set has closed.
    plan = Plan.objects.get()
    assert secrets[0] in seen(reader_for(coach).get(f"{ROOT}/coach/plans/{plan.pk}/"))
    clock(NOON + timedelta(days=1))
    assert secrets[0] in seen(sealed.get(f"{ROOT}/sets/{a_set.pk}/1/"))


def test_of_a_plan_that_does_not_solve_the_colours_alone_are_told(given, member) -> None:
    a_set = given.a_set(answers_to="open")
    given.a_plan(member, a_set, 1, "D R'")
    given.a_plan(member, a_set, 2, None)
    make_all()
    for number in (1, 2):
        page = seen(reader_for(member).get(f"{ROOT}/sets/{a_set.pk}/{number}/"))
        assert "The other colours" in page
        assert "What your plan leaves" not in page
        assert "easier on the hands" not in page


def test_a_coach_reads_it_of_a_plan_that_stands_and_not_of_a_withdrawn_one(
    given, member, coach
) -> None:
    a_set = given.a_set(answers_to="open")
    plan = with_pair(given, member, a_set, 1, CROSS, PAIR)
    make_all()
    address = f"{ROOT}/coach/plans/{plan.pk}/"
    said = seen(reader_for(coach).get(address))
    assert "What the plan leaves" in said
    assert "The first pair is in:" in said
    assert "your" not in said[said.index("What the plan leaves") : said.index("The scramble")]
    withdraw_plan(plan=Plan.objects.get(), by=coach, reason="Seen before.", now=NOON)
    assert "What the plan leaves" not in seen(reader_for(coach).get(address))


# Progress --------------------------------------------------------------------------


@pytest.fixture
def strongest(given, member) -> None:
    """Four weeks without a lost move, and somebody to compare with."""
    weeks_of_plans(given, member, 4, answered=True, scramble=THREE)
    weeks_of_plans(given, make_membership(given.club, "Other"), 4, answered=False, scramble=THREE)


@pytest.mark.usefixtures("strongest")
def test_who_loses_nothing_any_more_reads_what_lies_beyond_the_cross(member, coach) -> None:
    said = seen(reader_for(member).get(f"{ROOT}/progress/"))
    beyond = said[said.index("For the strongest") : said.index("Week by week")]
    assert "You lose hardly a move any more: 20 of 20 plans are exactly the best." in beyond
    assert "Not looked at yet: 20 plans." in beyond
    make_all()
    said = seen(reader_for(member).get(f"{ROOT}/progress/"))
    beyond = said[said.index("For the strongest") : said.index("Week by week")]
    # The crosses are all of two moves: of seven and eight there is nothing to say.
    assert "Seeing 7 moves ahead: too few crosses of that length to tell." in beyond
    assert "Seeing 8 moves ahead: too few crosses of that length to tell." in beyond
    assert (
        "After your cross the nearest first pair is 0 moves away on average, "
        "over 20 solved plans." in beyond
    )
    assert "No shortest cross leaves a nearer pair: always." in beyond
    assert "shorter together: none so far." in beyond
    # The exact numbers are a tap away.
    exactly = beyond[beyond.index("What that rests on") :]
    assert "is 0.0 moves away on average" in exactly
    assert "leaves a nearer pair: 20 of 20 (likely 88 to 100 in 100)." in exactly
    assert "shorter together: 0 of 20." in exactly
    # Each cross is two moves away in white, green, blue and orange, three in yellow and red.
    assert (
        "With white too, the best crosses would be 20 moves shorter on 20 crosses. "
        "With another instead: green 20, blue 20 and orange 20." in beyond
    )
    assert "Not looked at yet" not in beyond
    read = seen(reader_for(coach).get(f"{ROOT}/coach/members/{member.pk}/"))
    assert "For the strongest" in read
    assert "You lose" not in read


@pytest.mark.usefixtures("strongest")
def test_who_still_loses_moves_does_not_and_the_coach_reads_it_of_everybody(
    member, coach, given
) -> None:
    other = make_membership(given.club, "Pelle")
    weeks_of_plans(given, other, 4, answered=False, scramble=THREE)
    make_all()
    own = seen(reader_for(other).get(f"{ROOT}/progress/"))
    assert "For the strongest" not in own
    assert "Beyond the cross" not in own
    read = seen(reader_for(coach).get(f"{ROOT}/coach/members/{other.pk}/"))
    assert "Beyond the cross After the cross the nearest first pair is" in read
    assert "of 20 (likely" in read


def test_few_plans_are_counted_and_no_rate_is_made_of_them(given, member, coach) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1))
    past(given, member, a_set, CROSS, "R' D'", "F' R'")
    make_all()
    read = seen(reader_for(coach).get(f"{ROOT}/coach/members/{member.pk}/"))
    beyond = read[read.index("Beyond the cross") : read.index("Week by week")]
    assert "Too few solved plans to say what they leave for the first pair." in beyond
    assert "on average" not in beyond
    assert "likely" not in beyond


@pytest.mark.parametrize(
    ("exact", "plans", "first", "strongest"),
    [
        (20, 20, None, True),
        (16, 20, None, True),
        (15, 20, None, False),
        (19, 19, None, False),
        (20, 20, "base_turn", False),
        (20, 20, "undone_moves", False),
        (20, 20, "wrong_direction", True),
        (20, 20, Missing.NOT_HANDED_IN, True),
    ],
)
def test_who_the_strongest_are(exact, plans, first, strongest) -> None:
    account = Account(
        plans=plans,
        solved=plans,
        points={},
        unsolved={},
        tallies={},
        reach=reach_of([]),
        by_length={5: Tally(exact, plans)},
        edge_by_edge=False,
    )
    assert account.loses_nothing(first) is strongest
