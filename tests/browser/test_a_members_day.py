"""A member's day as a person has it: in by name and phrase, out with a table."""

from __future__ import annotations

import re

from playwright.sync_api import Route, expect

from tests.browser.conftest import Opener, Worker, to_write
from tests.conftest import Given, make_membership
from training.models import Club, Membership, Plan


def test_from_sign_in_to_the_table(
    club_day: Given, member: Membership, open_browser: Opener, worker: Worker
) -> None:
    browser = open_browser(width=360)
    page = browser.page
    browser.sign_in_by_the_page(member)

    expect(page.get_by_role("heading", name="Wednesday’s set")).to_be_visible()
    page.get_by_role("link", name="Plan scramble 1").click()
    expect(page.get_by_role("heading", name="Scramble your cube")).to_be_visible()
    browser.is_clean()
    to_write(page)

    # What cannot be read is marked where it stands while it is typed.
    field = page.get_by_label("Your plan")
    field.press_sequentially("D' R4")
    expect(page.locator("#plan-echo mark")).to_have_text("R4")
    expect(page.locator("#plan-echo")).to_contain_text("is not a move")
    browser.is_clean()

    # The keys of the phone do the same as the keyboard.
    field.fill("")
    for key in ("D", "prime, anticlockwise", "L", "L", "prime, anticlockwise", "R"):
        page.get_by_role("group", name="Move keys").get_by_role(
            "button", name=key, exact=True
        ).click()
    page.get_by_role("button", name="prime, anticlockwise").click()
    expect(field).to_have_value("D' L L' R'")
    expect(page.locator("#plan-echo")).to_contain_text("4 moves so far")

    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("heading", name="This is your plan")).to_be_focused()
    expect(page.get_by_role("main")).to_contain_text("4 moves. Once handed in it is final.")
    browser.is_clean()
    page.get_by_role("button", name="Hand in").click()

    # It waits until a worker has checked it, and then shows the verdict by itself.
    expect(page.get_by_role("status")).to_have_text("Handed in, being checked.")
    browser.is_clean()
    worker.work()
    expect(page.get_by_role("heading", name="Solved in 4 moves. The best is 2.")).to_be_visible()
    expect(page).to_have_title(re.compile("The best is 2"))
    expect(page.get_by_role("main")).to_contain_text("2 over")
    browser.is_clean()

    # The treads step the cube, by tap and by arrow keys, without loading a page.
    net = page.locator("[data-net]")
    start = net.get_attribute("data-net")
    stairs = page.get_by_role("group", name="Your plan, step by step")
    stairs.get_by_role("link", name="Move 1, D counter-clockwise").click()
    expect(page.locator("p[data-said]")).to_have_text("After D': 1 move left")
    assert net.get_attribute("data-net") != start
    page.keyboard.press("ArrowRight")
    expect(stairs.get_by_role("link", name="Move 2, L:")).to_be_focused()
    expect(page.locator("p[data-said]")).to_have_text("After L: 2 moves left")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    assert net.get_attribute("data-net") == start
    # The shortest solution ends in a solved cross.
    page.get_by_role("list", name=re.compile("Shortest way 1")).get_by_role("link").last.click()
    expect(page.locator("p[data-said]")).to_contain_text("solved")
    browser.is_clean()

    # The table opens once all own plans are in.
    page.get_by_role("link", name="Plan scramble 2").click()
    for number in range(2, 6):
        expect(page.get_by_role("main")).to_contain_text(f"scramble {number} of 5")
        to_write(page)
        page.get_by_role("button", name="I have no plan").click()
        page.get_by_role("button", name="Hand in").click()
        expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
        worker.work()
        expect(page.get_by_role("heading", name="No plan. The best is 2.")).to_be_visible()
        if number < 5:
            page.get_by_role("link", name=f"Plan scramble {number + 1}").click()
    page.get_by_role("link", name="All scrambles of the set").click()
    page.get_by_role("link", name="See the table").click()
    expect(page.get_by_role("heading", name="Wednesday’s table")).to_be_visible()
    own = page.get_by_role("row").filter(has_text="you")
    expect(own).to_contain_text("34")
    browser.is_clean()
    assert Plan.objects.filter(membership=member, status="checked").count() == 8


def test_what_is_typed_before_the_scripts_have_come_is_echoed_too(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser(width=360)
    page = browser.page
    browser.sign_in(member)
    browser.go("/")
    expect(page.get_by_role("link", name="Plan scramble 1")).to_be_visible()
    on_their_way: list[Route] = []
    there = False

    def hold(route: Route) -> None:
        route.continue_() if there else on_their_way.append(route)

    page.route(re.compile(r"\.js\b"), hold)
    here = page.get_by_role("link", name="Plan scramble 1").get_attribute("href")
    page.goto(f"{browser.base}{here}write/", wait_until="commit")
    page.get_by_label("Your plan").press_sequentially("D' R4")
    expect(page.get_by_role("group", name="Move keys")).to_be_hidden()
    assert on_their_way
    there = True
    for route in on_their_way:
        route.continue_()
    expect(page.get_by_role("group", name="Move keys")).to_be_visible()
    expect(page.locator("#plan-echo mark")).to_have_text("R4")


def test_a_refusal_is_focused_and_loses_nothing(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser(width=360)
    page = browser.page
    browser.sign_in(member)
    browser.go("/")
    page.get_by_role("link", name="Plan scramble 1").click()
    to_write(page)
    page.get_by_label("Your plan").fill("D' R' Q")
    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("alert")).to_be_focused()
    expect(page).to_have_title(re.compile("^Error: "))
    expect(page.get_by_label("Your plan")).to_have_value("D' R' Q")
    browser.is_clean()

    page.get_by_label("Your plan").fill("d' r'")
    page.get_by_role("button", name="Continue").click()
    page.get_by_role("button", name="One layer each").click()
    expect(page.locator(".read-back [aria-hidden]")).to_have_text("D' R'")


def test_with_the_keyboard_alone(
    club_day: Given, member: Membership, open_browser: Opener, worker: Worker
) -> None:
    browser = open_browser()
    page = browser.page
    browser.go("/sign-in/")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the page")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.get_by_label("Sign-in name")).to_be_focused()
    page.keyboard.type("ines")
    page.keyboard.press("Tab")
    page.keyboard.type("seven wooden boats")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Wednesday’s set")).to_be_visible()

    def tab_to(name: str) -> None:
        for _ in range(40):
            page.keyboard.press("Tab")
            focused = page.evaluate(
                "document.activeElement.getAttribute('aria-label') ||"
                " document.activeElement.textContent || ''"
            )
            if focused.strip().startswith(name):
                return
        raise AssertionError(f"{name} cannot be reached")

    tab_to("Plan scramble 1")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Scramble your cube")).to_be_visible()
    for step in ("It looks like this", "Start"):
        tab_to(step)
        page.keyboard.press("Enter")
    # The one thing to do has the focus: Enter ends the inspection, and then one writes.
    expect(page.get_by_role("button", name="Write", exact=True)).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_label("Your plan")).to_be_focused()
    page.keyboard.type("D' R'")
    page.keyboard.press("Control+Enter")
    expect(page.get_by_role("heading", name="This is your plan")).to_be_focused()
    tab_to("Hand in")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_be_visible()
    worker.work()
    expect(page.get_by_role("heading", name="No plan needs fewer.")).to_be_visible()
    tab_to("Move 1, D counter-clockwise")
    # A ring shows where the focus is.
    ring = page.evaluate(
        "getComputedStyle(document.activeElement.querySelector('.stair-hit')).strokeWidth"
    )
    assert ring == "3px"
    page.keyboard.press("Enter")
    expect(page.locator("p[data-said]")).to_have_text("After D': 1 move left")


def test_without_script_everything_works(
    club_day: Given, member: Membership, open_browser: Opener, worker: Worker
) -> None:
    browser = open_browser(width=360, script=False)
    page = browser.page
    browser.sign_in_by_the_page(member)
    page.get_by_role("link", name="Plan scramble 1").click()
    to_write(page)
    page.get_by_label("Your plan").fill("D' R'")
    page.get_by_role("button", name="Continue").click()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("status")).to_have_text("Handed in, being checked.")
    worker.work()
    # The page asks again by itself every three seconds.
    expect(page.get_by_role("heading", name="Solved in 2 moves")).to_be_visible(timeout=9_000)
    page.get_by_role("link", name="Move 2, R counter-clockwise").click()
    expect(page.locator("p[data-said]")).to_have_text("After R': solved")
    assert "step=2" in page.url


def test_joining_by_an_invite_link(
    club_day: Given, coach: Membership, open_browser: Opener, club: Club
) -> None:
    from training.services import people

    ((_, token),) = people.make_invites_by_name(by=coach, names=["Runa"])
    browser = open_browser(width=360)
    page = browser.go(f"/join/{token}/")
    expect(page.get_by_label("The name that others in the club see")).to_have_value("Runa")
    browser.is_clean()
    page.get_by_role("button", name="Continue").click()
    page.get_by_label("18 or older").check()
    browser.is_clean()
    page.get_by_role("button", name="Continue").click()
    page.get_by_label("Sign-in name").fill("runa")
    page.get_by_label("New pass phrase").fill("quiet green kettles")
    browser.is_clean()
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("heading", name="Wednesday’s set")).to_be_visible()


def test_a_child_waits_for_a_guardian(
    club_day: Given, coach: Membership, club: Club, open_browser: Opener
) -> None:
    child = make_membership(club, "Jo", under_18=True, standing="consent")
    browser = open_browser(width=360)
    browser.sign_in(child)
    browser.go("/")
    expect(browser.page.get_by_role("heading", name="Your account is not open yet")).to_be_visible()
    browser.is_clean()
    desk = open_browser()
    desk.sign_in(coach)
    desk.go("/")
    desk.page.get_by_role("link", name="People", exact=True).click()
    desk.page.get_by_label("Who agreed, and how").fill("Mother, signed form of 3 March")
    desk.is_clean()
    desk.page.get_by_role("button", name="Note it and open the account").click()
    expect(desk.page.get_by_role("status")).to_contain_text("Jo’s account is open")
    browser.go("/")
    expect(browser.page.get_by_role("heading", name="Wednesday’s set")).to_be_visible()


def test_a_server_away_for_a_moment_does_not_end_the_waiting(
    club_day: Given, member: Membership, open_browser: Opener, worker: Worker
) -> None:
    browser = open_browser(width=360)
    page = browser.page
    browser.sign_in(member)
    browser.go("/")
    page.get_by_role("link", name="Plan scramble 1").click()
    to_write(page)
    page.get_by_label("Your plan").fill("D' R'")
    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("heading", name="This is your plan")).to_be_focused()

    answers = iter((lambda route: route.abort(), lambda route: route.fulfill(status=502)))

    def away_twice(route: Route) -> None:
        if "hx-request" in route.request.headers:
            next(answers, Route.continue_)(route)
        else:
            route.continue_()

    page.route("**/*", away_twice)
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("status")).to_have_text("Handed in, being checked.")
    worker.work()
    expect(page.get_by_role("heading", name="No plan needs fewer.")).to_be_visible()
    assert len(browser.complaints) >= 2, "both failures were really met"
