"""A rotation that was forgotten is said first and alone; how the plan was read is folded.

Source: `tests.reference`, a cube of numbered stickers that knows no hold and no atlas, follows the
plan with the rotation that the page names.
"""

from __future__ import annotations

import random
import re
import uuid

import pytest

from solverworker import tasks
from solverworker.cube.first_hold import HOLDS_BY_COLOURS, TopAndFront, with_rotation
from solverworker.cube.holds import RELABEL, follow_scramble, walk
from solverworker.cube.notation import parse
from solverworker.cube.turns import write_turns
from solverworker.report import PlanReport
from solverworker.review import check_plan
from tests.conftest import Given
from tests.reference import cross_graph
from tests.reference.numbered_cube import follow
from tests.reference.slow_plan import cross_state
from tests.web.conftest import ROOT, reader_for, words
from training.entry import Entry
from training.models import Plan, ScrambleSet, Verdict
from training.rules import Held
from training.services.plans import hand_in
from training.web.parts.stepper import make_stepper
from training.web.saying.second_looks import forgotten_rotation

pytestmark = pytest.mark.django_db

COLOUR = "yellow"
FOLDED = re.compile(r"<details data-as-read\s*>")


def crosses(how_many: int, *, detour: bool) -> list[tuple[str, str, TopAndFront]]:
    """Scrambles, a shortest plan of each written for another hold, and that hold.

    ``detour``: every other plan ends with two turns of the top that it does not need.
    """
    rng, made = random.Random(41), []
    faces = [face + suffix for face in "URFDLB" for suffix in ("", "2", "'")]
    while len(made) < how_many:
        scramble = " ".join(rng.choice(faces) for _ in range(18))
        shortest = check_plan(scramble, "", colours=[COLOUR]).shortest
        held = rng.choice(list(HOLDS_BY_COLOURS))
        hold = HOLDS_BY_COLOURS[held]
        begun = follow_scramble(scramble)
        if hold == begun.hold or not shortest:
            continue
        turns = walk(parse(shortest[0].text), begun.hold).turns
        plan = write_turns(RELABEL[hold][turn] for turn in turns)
        if detour and len(made) % 2:
            plan = f"{plan} R R'"
        if not check_plan(scramble, plan, colours=[COLOUR]).solved:
            made.append((scramble, plan, held))
    return made


def solves(scramble: str, plan: str) -> bool:
    return cross_graph.distance(cross_state(follow(f"{scramble} {plan}"), COLOUR)) == 0


def before_the_fold(page: str) -> str:
    return words(page[: FOLDED.search(page).start()])


def test_of_twenty_plans_without_their_rotation_each_page_says_it_first_and_alone(
    member, given: Given
) -> None:
    told = crosses(20, detour=True)
    today = given.a_set(scrambles=tuple(scramble for scramble, *_ in told), colours=[COLOUR])
    reader = reader_for(member)
    for number, (scramble, plan, _held) in enumerate(told, start=1):
        given.a_plan(member, today, number, plan)
        page = reader.get(f"{ROOT}/sets/{today.pk}/{number}/")
        said = re.search(r"<h1>With (.+) first, this plan solves in (\d+), (.+)\.</h1>", page)
        assert said, page
        rotation, moves, worth = said.groups()
        report = PlanReport.from_dict(Verdict.objects.latest("pk").report)
        assert not report.solved
        assert solves(scramble, f"{rotation} {plan}".replace("&#x27;", "'"))
        assert int(moves) == len(plan.split())
        over = len(plan.split()) - cross_graph.distance(cross_state(follow(scramble), COLOUR))
        assert worth == ("exactly the best" if over == 0 else f"{over} over the best")
        first = before_the_fold(page)
        for other in (
            "Move by move",
            "shortest",
            "Down: moves left",
            "slip",
            "edges is home",
            "Not solved",
            "Try again from",
            "Noted, never counted",
        ):
            assert other not in first
        assert "Ask the coach ." in first
        assert (
            "solved"
            in re.search(
                r"data-said>([^<]*)<",
                reader.get(f"{ROOT}/sets/{today.pk}/{number}/?way=99&step=99"),
            )[1]
        )


def test_each_step_with_the_rotation_says_how_far_the_cross_is(member, given: Given) -> None:
    for scramble, plan, _held in crosses(8, detour=True):
        report = check_plan(scramble, plan, colours=[COLOUR])
        forgotten = forgotten_rotation(scramble, report)
        stepper = make_stepper(scramble, report, name="", way=None, forgotten=forgotten)
        tokens = forgotten.plan.split()
        assert [stop.token for stop in stepper.turned.stops] == ["", *tokens]
        for step, stop in enumerate(stepper.turned.stops):
            cube = follow(" ".join([scramble, *tokens[:step]]))
            left = cross_graph.distance(cross_state(cube, COLOUR))
            ending = "solved" if left == 0 else f" {left} move{'s' if left > 1 else ''} left"
            assert stop.said.endswith(ending)


def test_the_plan_as_it_was_read_opens_where_one_steps_it(member, coach, given: Given) -> None:
    # Scramble `R D` with yellow on top: what `D' R'` does below, `U' L'` does after z2.
    today = given.a_set(scrambles=("R D",))
    plan = given.a_plan(member, today, 1, "U' L'")
    at = f"{ROOT}/sets/{today.pk}/1/"
    page = reader_for(member).get(at)
    assert FOLDED.search(page)
    assert "Step by step, with z2 first" in words(page)
    assert f'href="{ROOT}/sets/{today.pk}/1/ask/"' in page
    for step in (0, 1):
        assert not FOLDED.search(reader_for(member).get(f"{at}?step={step}"))
    assert FOLDED.search(reader_for(coach).get(f"{ROOT}/coach/plans/{plan.pk}/"))


def test_one_tries_on_from_the_plan_with_its_rotation(client, member, given: Given) -> None:
    today = given.a_set(scrambles=("R D",))
    given.a_plan(member, today, 1, "U' L'")
    page = reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/")
    way = re.search(r'again/\?way=(\d+)&amp;step=0"', page)[1]
    client.force_login(member.person)
    at = f"{ROOT}/sets/{today.pk}/1/again/?way={way}&step=2"
    to = client.post(at, {"written": "L'"})["Location"]
    assert "Found: L' solves it" in words(client.get(to).content.decode())


def a_plan_held(
    member, a_set: ScrambleSet, given: Given, number: int, plan: str, held: str
) -> Plan:
    made = hand_in(
        membership=member,
        scramble=given.scramble(a_set, number),
        entry=Entry(plan, held=held),
        key=uuid.uuid4(),
    ).plan
    assert tasks.check_plan.run(made.pk)
    return made


def test_where_the_hold_is_told_beside_the_plan_another_hold_is_named(
    clock, member, coach, given: Given
) -> None:
    told = crosses(6, detour=False)
    today = given.a_set(
        scrambles=tuple(scramble for scramble, *_ in told), colours=[COLOUR], held=Held.FREE
    )
    for number, (scramble, plan, right) in enumerate(told, start=1):
        wrong = next(
            hold
            for hold in HOLDS_BY_COLOURS
            if not solves(scramble, with_rotation(scramble, plan, top=hold.top, front=hold.front))
            and hold != right
        )
        made = a_plan_held(member, today, given, number, plan, " ".join(wrong))
        page = reader_for(member).get(f"{ROOT}/sets/{today.pk}/{number}/")
        said = re.search(
            r"<h1>Held with (\w+) on top, (\w+) in front, this plan solves in \d+, exactly", page
        )
        assert said, page
        top, front = said.groups()
        assert solves(scramble, with_rotation(scramble, plan, top=top, front=front))
        first = before_the_fold(page)
        assert f"read as held with {wrong.top} on top, {wrong.front} in front, as told" in first
        assert "first, this plan" not in first
        # The coach is told the same hold.
        by_coach = words(reader_for(coach).get(f"{ROOT}/coach/plans/{made.pk}/"))
        assert f"with the cube held {top} on top and {front} in front" in by_coach or (
            f"with the cube held {top} on top, {front} in front" in by_coach
        )
