"""Trying again: every way that loses nothing is right, nothing enters a table, hints by choice."""

from __future__ import annotations

import html
import random
import re

import pytest
from django.test import Client

from solverworker.report import COLOURS
from solverworker.techniques.atlas_maker import atlas
from tests.conftest import NOON, Given, make_membership
from tests.reference import cross_graph
from tests.reference.numbered_cube import follow
from tests.reference.slow_plan import cross_state
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership, ScrambleSet, SecondLook, Verdict
from training.rules import Sight
from training.second_look import help_at, try_on
from training.services.erasing import erase_membership
from training.services.second_looks import note_second_look
from training.visibility import Sealed

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def known() -> None:
    """What a worker makes before the web process can say what a move loses."""
    atlas()


@pytest.fixture
def today(member: Membership, given: Given) -> ScrambleSet:
    """Scramble 1 is `R D`; the plan loses two with its second move, and one with its fourth."""
    today = given.a_set()
    given.a_plan(member, today, 1, "D' L L' U R'")
    return today


def write(client: Client, address: str, moves: str) -> str:
    """Write on, and go where the site leads."""
    response = client.post(address, {"written": moves})
    assert response.status_code == 302, words(response.content.decode())
    return str(response["Location"])


def test_the_verdict_leads_to_the_first_losing_move(member, today) -> None:
    page = reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/")
    assert f'href="{ROOT}/sets/{today.pk}/1/again/?step=1"' in page
    assert "Try again from move 2" in words(page)


def test_a_way_that_loses_nothing_is_found_and_kept(client, member, coach, today) -> None:
    client.force_login(member.person)
    at = f"{ROOT}/sets/{today.pk}/1/again/?step=1"
    said = words(client.get(at).content.decode())
    assert "Your plan went on with L here, which lost 2 moves." in said
    assert "1 move left" in said
    to = write(client, at, "r'")  # two layers: one turn of the left, of no use
    said = words(client.get(to).content.decode())
    assert "Rw' loses 2 moves here." in said
    assert not SecondLook.objects.exists()
    to = write(client, to, "y F'")  # the right face, from the right hand's side
    said = words(client.get(to).content.decode())
    assert "Found: y F' solves it from here in 1 move, and nothing is lost." in said
    # Only then is the plan's next loss asked for.
    assert f"{ROOT}/sets/{today.pk}/1/again/?step=3" in client.get(to).content.decode()
    assert "The plan’s next loss: move 4" in said
    row = SecondLook.objects.get()
    assert (row.membership_id, row.place, row.moves, row.hints) == (member.pk, 1, "y F'", 0)
    told = "Found on the second look, from move 2: y F' , without a hint."
    assert told in words(client.get(f"{ROOT}/sets/{today.pk}/1/").content.decode())
    plan = Verdict.objects.get().plan_id
    assert told in words(reader_for(coach).get(f"{ROOT}/coach/plans/{plan}/"))


def test_the_result_and_the_tables_stay(client, member, today) -> None:
    before = Verdict.objects.values().get()
    client.force_login(member.person)
    write(client, f"{ROOT}/sets/{today.pk}/1/again/?step=1", "R'")
    assert SecondLook.objects.count() == 1
    assert Verdict.objects.values().get() == before
    assert "excess" not in {field.name for field in SecondLook._meta.fields}


def test_hints_come_one_at_a_time_and_are_kept_with_what_is_found(client, member, today) -> None:
    client.force_login(member.person)
    at = f"{ROOT}/sets/{today.pk}/1/again/?step=0&way=0"
    asked = ("A hint: which idea", "One more hint: which edge", "The last hint: the next move")
    for number, ask in enumerate(asked):
        page = client.get(at).content.decode()
        assert ask in words(page)
        assert sum(other in words(page) for other in asked) == 1
        at = re.search(rf'href="([^"]*hint={number + 1}[^"]*)"', page)[1]
        at = html.unescape(at).split("#")[0]
    said = words(client.get(at).content.decode())
    # Scramble `R D`: every shortest way is D' R', and uses a base turn (analysis, small vectors).
    assert "Every shortest way from here uses this idea: base turn." in said
    assert "D' loses nothing." in said
    assert "A hint" not in said
    write(client, at, "D' R'")
    assert SecondLook.objects.get().hints == 3


def test_a_script_is_told_where_to_go_and_what_was_kept_is_said_there(
    client, member, today
) -> None:
    client.force_login(member.person)
    at = f"{ROOT}/sets/{today.pk}/1/again/?step=1&hint=1"
    answer = client.post(at, {"written": "R'", "leads": "1"})
    assert (answer.status_code, answer.content) == (204, b"")
    assert "Kept as found on the second look." in words(
        client.get(answer["Location"]).content.decode()
    )
    assert SecondLook.objects.get().hints == 1
    # What cannot be read is shown by the page itself.
    assert client.post(at, {"written": "Q", "leads": "1"}).status_code == 400


def test_what_was_found_first_stays(client, member, today) -> None:
    client.force_login(member.person)
    at = f"{ROOT}/sets/{today.pk}/1/again/?step=1"
    write(client, at, "R'")
    write(client, at + "&hint=2", "y F'")
    assert [(row.moves, row.hints) for row in SecondLook.objects.all()] == [("R'", 0)]


def test_no_plan_and_the_shortest_ways_can_be_tried_too(client, member, given) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, None)
    client.force_login(member.person)
    page = client.get(f"{ROOT}/sets/{today.pk}/1/").content.decode()
    assert "A shortest way, step by step" in words(page)
    assert "An idea to look for in it: base turn ." in words(page)
    assert f'href="{ROOT}/sets/{today.pk}/1/again/?way=1&amp;step=0"' in page
    # On a way that is told, what is found is nothing of one's own.
    to = write(client, f"{ROOT}/sets/{today.pk}/1/again/?way=1&step=1", "R'")
    assert "Found: R' solves it" in words(client.get(to).content.decode())
    assert not SecondLook.objects.exists()
    write(client, f"{ROOT}/sets/{today.pk}/1/again/?step=0", "D' R'")
    assert SecondLook.objects.get().place == 0


@pytest.mark.parametrize("written", ["", "Q", "R4", "x" * 3000])
def test_what_cannot_be_read_is_refused_and_stays_in_the_form(
    client, member, today, written
) -> None:
    client.force_login(member.person)
    response = client.post(f"{ROOT}/sets/{today.pk}/1/again/?step=1", {"written": written})
    assert response.status_code in (400, 422)
    assert "Something needs correcting" in words(response.content.decode())
    assert not SecondLook.objects.exists()


@pytest.mark.parametrize(
    "query", ["?step=99", "?way=99&step=2", "?moves=Q&tried=!!&hint=77", "?moves=L+L+L&step=1"]
)
def test_anything_may_be_typed_into_the_address(client, member, today, query) -> None:
    client.force_login(member.person)
    assert client.get(f"{ROOT}/sets/{today.pk}/1/again/{query}").status_code == 200


def test_nobody_tries_before_the_answers_may_be_seen(client, member, given) -> None:
    closing = given.a_set(answers_to=Sight.CLOSING)
    given.a_plan(member, closing, 1, "D' L L' R'")
    client.force_login(member.person)
    at = f"{ROOT}/sets/{closing.pk}/1/again/?step=1"
    assert client.get(at).status_code == 404
    assert client.post(at, {"written": "R'"}).status_code == 404
    with pytest.raises(Sealed):
        note_second_look(by=member, set_id=closing.pk, number=1, place=1, moves="R'", now=NOON)


def test_nobody_else_reads_what_was_found(client, member, club, given, today) -> None:
    client.force_login(member.person)
    write(client, f"{ROOT}/sets/{today.pk}/1/again/?step=1", "R'")
    other = make_membership(club, "Bashir")
    given.a_plan(other, today, 1, "D' L L' R'")
    assert "second look" not in words(reader_for(other).get(f"{ROOT}/sets/{today.pk}/1/"))


def test_it_goes_with_its_member(client, member, owner, today) -> None:
    client.force_login(member.person)
    write(client, f"{ROOT}/sets/{today.pk}/1/again/?step=1", "R'")
    erase_membership(membership=member, by=owner, typed=member.display_name)
    assert not SecondLook.objects.exists()


def test_losses_and_hints_are_those_of_a_search_of_the_whole_graph() -> None:
    """Source: SciPy's shortest paths over a cube of numbered stickers, which knows no atlas."""
    rng, known = random.Random(11), atlas()
    names = [face + suffix for face in "URFDLB" for suffix in ("", "2", "'")]
    for _round in range(60):
        scramble = " ".join(rng.choice(names) for _ in range(rng.randint(1, 14)))
        before = " ".join(rng.choice(names) for _ in range(rng.randint(0, 4)))
        colour = rng.choice(COLOURS)

        def far(*moves: str, told: str = f"{scramble} {before}", of: str = colour) -> int:
            cube = follow(" ".join([told, *moves]))
            return cross_graph.distance(cross_state(cube, of))

        left = far()
        for name in names:
            tried = try_on(known, scramble, before, name, colour)
            assert (tried.left if tried.kept else tried.lost) == (
                left - 1 if far(name) == left - 1 else 1 + far(name) - left
            )
        if left:
            assert far(help_at(known, scramble, before, colour).move) == left - 1
