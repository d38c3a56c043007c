"""From plans to a lesson: what a member reads of the own plans, what a coach makes of them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime

import pytest
from playwright.sync_api import expect
from pytest_django.live_server_helper import LiveServer

from tests.browser.conftest import PICTURES, Opener, Worker
from tests.conftest import Given, make_membership
from tests.grouping import put_in
from tests.history import past, weeks_of_plans
from training.models import Club, Membership, ScrambleSet

ROOT = "/c/lantern-street"


@pytest.fixture
def weeks_gone_by(
    live_server: LiveServer,
    clock: Callable[[datetime], None],
    given: Given,
    club: Club,
    coach: Membership,
    member: Membership,
    second: Membership,
    worker: Worker,
) -> Given:
    """Seven weeks in which Ines answers nothing that the others answer; Bashir has two ways."""
    weeks_of_plans(given, member, 7, answered=False)
    for name in ("Aud", "Bea", "Cyril"):
        weeks_of_plans(given, make_membership(club, name), 7, answered=True)
    put_in("Builders", second)
    earlier = ScrambleSet.objects.order_by("-opens_at")[0]
    past(given, second, earlier, "U D' U' R'", "D' R'", "D' R'")
    given.a_plan(second, given.a_set(), 1, "D D D R'")
    return given


LOOKS = [(360, False), (1280, True)]
if PICTURES:
    LOOKS += [(360, True), (1280, False)]

SHEET = round((210 - 2 * 12) / 25.4 * 96)
"""CSS pixels across A4 (ISO 216) within its margins; the CSS inch has 96 (CSS Values 4, 6.2)."""


def test_the_pages_are_clean_and_fit(
    weeks_gone_by: Given,
    coach: Membership,
    member: Membership,
    open_browser: Opener,
) -> None:
    of_coach = (
        f"{ROOT}/coach/",
        f"{ROOT}/coach/review/?sort=-base_turn",
        f"{ROOT}/coach/review/?group=Builders&weeks=8",
        f"{ROOT}/coach/lessons/base_turn/?names=1&cross=1&plan=1&step=2",
        f"{ROOT}/coach/lessons/step_aside/",
        f"{ROOT}/coach/members/{member.pk}/",
        f"{ROOT}/settings/",
    )
    troubles: list[str] = []
    for who, addresses in ((member, (f"{ROOT}/progress/",)), (coach, of_coach)):
        browser = open_browser()
        browser.sign_in(who)
        for address in addresses:
            page = browser.go(address)
            for width, dark in LOOKS:
                browser.wear(width, dark)
                troubles += browser.troubles()
                wide = page.evaluate("document.documentElement.scrollWidth")
                if wide > width:
                    troubles.append(f"{address} is {wide} wide")
            page.set_viewport_size({"width": SHEET, "height": 1000})
            page.emulate_media(media="print")
            wide = page.evaluate("document.documentElement.scrollWidth")
            if wide > SHEET:
                troubles.append(f"{address} is {wide} wide on paper")
            feet = page.locator("tfoot")
            if feet.count():
                expect(feet.first).to_have_css("display", "table-row-group")
            page.emulate_media(media="screen")
    assert not troubles, "\n".join(troubles)


def test_a_member_finds_what_to_work_on_and_a_plan_that_shows_it(
    weeks_gone_by: Given, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser(width=360)
    page = browser.page
    browser.sign_in(member)
    browser.go("/")
    page.get_by_role("link", name="My progress").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("base turn")
    charges = page.get_by_role("region", name="Where the points went")
    expect(charges).to_contain_text("The group answers it more often.")
    first = page.get_by_role("region", name="It cost 105 of 105 points.")
    first.get_by_role("link", name=re.compile(r"scramble \d")).first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Solved in 5 moves.")
    page.get_by_role("link", name="My progress").click()
    page.get_by_role("link", name="Practise").click()
    expect(page.get_by_role("button", name="Begin today’s practice")).to_be_visible()


def test_a_coach_goes_from_the_day_to_a_lesson_and_gives_homework(
    weeks_gone_by: Given, coach: Membership, open_browser: Opener
) -> None:
    browser = open_browser()
    page = browser.page
    browser.sign_in(coach)
    browser.go("/")
    page.get_by_role("link", name="Group review").click()
    expect(page.get_by_role("heading", name="Next lesson: base turn")).to_be_visible()
    members = page.get_by_role("group", name="Members and ideas")
    members.get_by_role("link", name="moves lost").click()
    expect(members.get_by_role("columnheader", name="moves lost")).to_have_attribute(
        "aria-sort", "descending"
    )
    expect(members.get_by_role("row").nth(1)).to_contain_text("Ines")

    page.get_by_role("link", name="Make a lesson on base turn").click()
    cross = page.get_by_role("region", name=re.compile("lost to the idea")).first
    # The first cross of the group's own; its plans are stepped without loading the page anew.
    page.evaluate("window.same = true")
    cross.get_by_role("link", name=re.compile("Move 2, R counter-clockwise")).first.click()
    expect(cross.locator("[data-said]:not([data-step])")).to_have_text("After R': solved")
    expect(cross.locator("svg desc").filter(has_text="bottom: ")).not_to_have_count(0)
    assert page.evaluate("window.same")
    expect(page.get_by_role("main")).not_to_contain_text("Ines")
    browser.is_clean()

    page.get_by_label("How many crosses").fill("3")
    page.get_by_label("Days open").fill("2")
    page.get_by_role("button", name="Give it to the group").click()
    expect(page.get_by_text("Homework is given: 3 crosses that call for base turn")).to_be_visible()
    assert ScrambleSet.objects.get(kind="homework").scrambles_wanted == 3
    browser.is_clean()


def test_without_script_a_lesson_is_stepped_and_a_review_is_sorted(
    weeks_gone_by: Given, coach: Membership, open_browser: Opener
) -> None:
    browser = open_browser(script=False)
    page = browser.page
    browser.sign_in(coach)
    browser.go(f"{ROOT}/coach/lessons/base_turn/?names=1")
    cross = page.get_by_role("region", name=re.compile("lost to the idea")).first
    cross.get_by_role("link", name=re.compile("Move 1, D counter-clockwise")).first.click()
    expect(cross).to_contain_text("After D': 1 move left")
    expect(page.get_by_role("heading", name=re.compile("Ines’s plan")).first).to_be_visible()
    browser.go(f"{ROOT}/coach/review/")
    page.get_by_label("Group").select_option("Builders")
    page.get_by_role("button", name="Show").click()
    rows = page.get_by_role("group", name="Members and ideas").get_by_role("row")
    # The head, Bashir, the line of the group.
    expect(rows).to_have_count(3)
