"""Every address × every viewer × every method, against the table of ``expected.py``.

What is refused as absent is compared byte by byte with what really is absent.
"""

from __future__ import annotations

from typing import Any

import pytest
from django.conf import settings
from django.db import transaction
from django.http import HttpResponse
from django.test.client import MULTIPART_CONTENT

from tests.access.addresses import Address, addresses, methods_of, named, unnamed
from tests.access.expected import TABLES
from tests.access.world import VIEWERS, World, make_world
from tests.browser import pages

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

OUTSIDERS = {"out", "far"}
WORDS = {200: "ok", 201: "ok", 204: "ok", 404: "no"}
LOOKED_AT = {one.name for one in pages.LISTED} | set(pages.NOT_LOOKED_AT)
A_PLAN = {"do": "hand_in", "plan": "D' R'", "key": "4f3c1b52-0000-4000-8000-000000000000"}
"""What every form is sent: right for a scramble, too little for every other."""


@pytest.fixture
def world(clock: object, club, other_club, member, second) -> World:
    return make_world(club, other_club, member, second)


def ask(world: World, viewer: str, method: str, address: Address, path: str) -> HttpResponse:
    """One request, taken back at once: the next one finds the world as it was."""
    client, headers = world.client, {}
    client.cookies.clear()
    if viewer != "out" and address.is_program:
        headers["authorization"] = f"Bearer {world.tokens[viewer]}"
    elif viewer != "out":
        client.cookies[settings.SESSION_COOKIE_NAME] = world.sessions[viewer]
    kind = "application/json" if address.is_program else MULTIPART_CONTENT
    with transaction.atomic():
        if method == "POST":
            answer = client.post(path, A_PLAN, content_type=kind, headers=headers)
        else:
            answer = client.generic(method, path, headers=headers)
        transaction.set_rollback(True)
    return answer


def word_for(answer: HttpResponse) -> str:
    """How the table spells an answer: a word for the usual ones, the status for the others."""
    if answer.status_code in {301, 302}:
        return "in" if answer["Location"].startswith("/sign-in/") else "on"
    return WORDS.get(answer.status_code, str(answer.status_code))


def expectation(table: str) -> dict[str, tuple[str, ...]]:
    """A table as written, by address: a word for each viewer, in their order."""
    head, *lines = table.strip().splitlines()
    assert tuple(head.partition("|")[2].split()) == VIEWERS
    found: dict[str, tuple[str, ...]] = {}
    for line in lines:
        name, _, said = line.partition("|")
        words = tuple(said.split())
        assert name.strip() not in found, f"{name} stands twice"
        found[name.strip()] = words * len(VIEWERS) if len(words) == 1 else words
    return found


@pytest.mark.parametrize("table", TABLES)
def test_everybody_gets_where_the_table_says_and_nowhere_else(world: World, table: str) -> None:
    method, _, wing = table.partition(" ")
    expected = expectation(TABLES[table])
    found: dict[str, tuple[str, ...]] = {}
    unlike: list[str] = []
    pages_found: set[str] = set()
    # Every request is taken back, so an absent twin of several addresses is asked for once.
    absent_at: dict[tuple[str, str], HttpResponse] = {}
    for address in addresses(world):
        if address.is_program != (wing == "api") or method not in address.methods:
            continue
        answers = {viewer: ask(world, viewer, method, address, address.path) for viewer in VIEWERS}
        found[address.line] = tuple(word_for(one) for one in answers.values())
        if any(is_a_page(one) for one in answers.values()):
            pages_found.add(address.name)
        for viewer, answer in answers.items():
            twin = address.outside if viewer in OUTSIDERS else address.absent
            if answer.status_code == 404 and twin != address.path:
                if (viewer, twin) not in absent_at:
                    absent_at[viewer, twin] = ask(world, viewer, method, address, twin)
                if everything(answer) != everything(absent_at[viewer, twin]):
                    unlike.append(f"{method} {address.line} for {viewer}")
    wrong = differences(expected, found)
    assert not wrong, "found, but not so written:\n" + "\n".join(wrong)
    assert not unlike, "can be told from what is absent:\n" + "\n".join(unlike)
    # What answers anybody with a page stands in the list of pages that a browser opens.
    assert pages_found - LOOKED_AT == set()
    # Pages are found at all where there are any: the line above could not fail otherwise.
    assert bool(pages_found) is (table in ("GET pages", "POST pages", "GET api"))


def is_a_page(answer: HttpResponse) -> bool:
    """Whether it is a page of its own: an answer in HTML, and no refusal."""
    html = answer.headers.get("Content-Type", "").startswith("text/html")
    return html and answer.status_code < 300


def everything(answer: HttpResponse) -> tuple[Any, ...]:
    """All that a visitor gets of an answer, to the byte."""
    # How often somebody may still ask goes down by one with every request, whatever it is about.
    headers = {name: said for name, said in answer.headers.items() if name != "RateLimit"}
    return answer.status_code, answer.content, sorted(headers.items())


def differences(
    expected: dict[str, tuple[str, ...]], found: dict[str, tuple[str, ...]]
) -> list[str]:
    """Lines of the table that are not as found, each as it would have to be written."""
    return [
        f"{name:24}| " + "".join(f"{word:8}" for word in found.get(name, ("nothing there",)))
        for name in sorted({*expected, *found})
        if expected.get(name) != found.get(name)
    ]


def test_a_missing_line_a_wrong_one_and_one_too_many_are_seen() -> None:
    written = {"right": ("ok", "no"), "wrong": ("ok", "no"), "gone": ("ok", "ok")}
    found = {"right": ("ok", "no"), "wrong": ("ok", "ok"), "new": ("no", "no")}
    assert [line.partition(" ")[0] for line in differences(written, found)] == [
        "gone",
        "new",
        "wrong",
    ]


def test_what_is_open_can_be_told_from_what_is_absent(world: World) -> None:
    """The comparison itself: an answer that says anything is unlike the absent one."""
    for address in addresses(world):
        if address.line == "set open":
            there = ask(world, "member", "GET", address, address.path)
            absent = ask(world, "member", "GET", address, address.absent)
            assert everything(there) != everything(absent)


def test_every_address_has_a_name_but_the_apis_last_resort() -> None:
    assert list(unnamed()) == [r"^[\s\S]*$"]


def test_every_method_of_the_api_is_asked() -> None:
    methods = {method for _, pattern in named() for method in methods_of(pattern)}
    assert methods == {table.partition(" ")[0] for table in TABLES}


def test_the_browsers_list_names_addresses_that_there_are() -> None:
    names = {name for name, _ in named()} | {None}
    assert {one.name for one in pages.LISTED} <= names
    assert set(pages.NOT_LOOKED_AT) <= names - {one.name for one in pages.LISTED}
