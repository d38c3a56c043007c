"""Where a sixth idea must turn up once its files are there: run in a copy that has them."""

from __future__ import annotations

import json
import random
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client

from solverworker import words
from solverworker.atlas import atlas as read_atlas
from solverworker.causes import CAUSES, IDEAS
from solverworker.cube.cross import STATE_COUNT, after, code, unrank
from solverworker.cube.turns import TURN_NAMES, TURN_NUMBERS
from solverworker.report import RULES_DIGEST
from solverworker.review import check_plan
from solverworker.rules_digest import rules_digest
from solverworker.search.cross import distance, shortest_solutions, solutions_of_code
from solverworker.techniques import TECHNIQUES, codes_of_mask, masks, places, used
from solverworker.techniques.atlas_maker import atlas
from solverworker.techniques.profiles import Profile, matching
from tests.conftest import Given, make_membership
from tests.history import weeks_of_plans
from tests.reference import slow_techniques
from tests.solverworker.test_distances import reference_state
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Club, Membership, TechniqueCount
from training.selectors import lessons, reviews

NAME = "roof turn"
CODE = "roof_turn"

SCRAMBLE, ANSWER, WITHOUT = "L' B2 U'", "U B2 L", "D L2 D' L'"
"""Yellow cross: every shortest way turns the top; a plan one move longer that does without."""


def answer(*command: str) -> str:
    out = StringIO()
    call_command(*command, stdout=out)
    return out.getvalue()


def test_it_is_the_last_of_both_lists() -> None:
    assert list(IDEAS)[-1] == list(TECHNIQUES)[-1] == CODE
    assert list(CAUSES).index(CODE) == len(IDEAS) - 1
    assert IDEAS[CODE].order == len(IDEAS) - 1


def test_masks_and_places_tell_it_as_its_plain_form_and_its_twin_do() -> None:
    source = random.Random(6)
    happened = 0
    for number in source.sample(range(STATE_COUNT), 60):
        state = unrank(number)
        rows, length = solutions_of_code(code(state)), distance(state)
        found = masks(code(state), rows, length)
        there = places(code(state), rows, length)
        for one in range(min(5, len(rows))):
            turns = tuple(rows[one, :length].tolist())
            plain = used(state, turns)
            assert codes_of_mask(int(found[one])) == plain == frozenset(there[one])
            names = [TURN_NAMES[turn] for turn in turns]
            assert slow_techniques.techniques(reference_state(state), names) == plain
            at = tuple(index for index, name in enumerate(names) if name[0] == "U")
            assert there[one].get(CODE, ()) == at
            happened += bool(at)
    assert 20 < happened < 280


def test_the_atlas_and_profiles_know_it() -> None:
    state = after(TURN_NUMBERS[name] for name in SCRAMBLE.split())
    entry = atlas().entry(state)
    assert CODE in entry.every
    assert entry.count == len(shortest_solutions(state))
    assert read_atlas() is not None
    assert lessons.matching_crosses(CODE, 0, 8) == atlas().figures["every"][CODE]
    asked = Profile(called=frozenset({CODE}), lengths=(3, 3))
    assert 0 < matching(asked) == lessons.matching_crosses(CODE, 3, 3)


def test_a_plan_is_called_for_it_answers_it_or_is_blamed_for_it() -> None:
    good = check_plan(SCRAMBLE, ANSWER, colours=["yellow"]).techniques
    assert good is not None
    assert CODE in good.used
    assert CODE in good.called
    assert CODE in good.answered
    poor = check_plan(SCRAMBLE, WITHOUT, colours=["yellow"])
    assert poor.techniques is not None
    assert CODE in poor.techniques.called
    assert CODE not in poor.techniques.answered
    assert dict(poor.techniques.blame) == {CODE: "1"}
    assert poor.lost[0].missing == (CODE,)


def test_words_name_it() -> None:
    assert words.name_of(CODE) == NAME
    report = check_plan(SCRAMBLE, WITHOUT, colours=["yellow"])
    (lost,) = words.losses(SCRAMBLE, report)
    assert (
        lost.called
        == f"Every shortest way from there uses a {NAME}, and the plan from there does not."
    )
    told = " ".join(words.story_in_words(SCRAMBLE, report.shortest[0]))
    assert told.count("That is a roof turn: the top goes round.") == 1


def test_selectors_and_lessons_know_it(
    given: Given, club: Club, coach: Membership, member: Membership
) -> None:
    weeks_of_plans(given, member, 2, answered=False, scramble=(SCRAMBLE, ANSWER, WITHOUT))
    other = make_membership(club, "Aud")
    weeks_of_plans(given, other, 2, answered=True, scramble=(SCRAMBLE, ANSWER, WITHOUT))
    assert CODE in reviews.TECHNIQUES
    assert CODE in reviews.RARELY_CALLED
    rows = TechniqueCount.objects.filter(code=CODE)
    assert {row.membership_id for row in rows} == {member.pk, other.pk}
    page = reader_for(coach).get(f"{ROOT}/coach/review/")
    assert f"{ROOT}/coach/lessons/{CODE}/" in page
    assert NAME in seen(page)
    assert CODE in reader_for(coach).get(f"{ROOT}/coach/review.csv")
    assert reader_for(coach).get(f"{ROOT}/coach/review/?sort=-{CODE}")
    lesson = seen(reader_for(coach).get(f"{ROOT}/coach/lessons/{CODE}/"))
    assert NAME in lesson
    assert IDEAS[CODE].meaning in lesson
    assert NAME in seen(reader_for(member).get(f"{ROOT}/progress/"))


def enumerations(part: Any) -> list[list[str]]:
    """All lists of choices in a document."""
    if isinstance(part, dict):
        own = [part["enum"]] if isinstance(part.get("enum"), list) else []
        return own + [each for value in part.values() for each in enumerations(value)]
    if isinstance(part, list):
        return [each for value in part for each in enumerations(value)]
    return []


@pytest.mark.django_db
def test_the_document_of_the_api_has_it_wherever_the_others_are(client: Client) -> None:
    document = client.get("/api/v1/openapi.json").json()
    lists = [each for each in enumerations(document) if "base_turn" in each]
    assert lists
    assert all(CODE in each for each in lists)


def test_commands_tell_it() -> None:
    assert CODE in json.loads(answer("atlas", "--json"))["every"]
    assert NAME in answer("atlas")
    assert answer("atlas", "--ideas").splitlines()[-1].startswith(f"| {NAME} | The top turns. | ")
    told = json.loads(answer("checkplan", SCRAMBLE, WITHOUT, "--colour", "yellow", "--json"))
    assert told["techniques"]["blame"] == {CODE: "1"}


def test_the_rules_are_others_than_those_that_were_pinned() -> None:
    assert rules_digest() != RULES_DIGEST
