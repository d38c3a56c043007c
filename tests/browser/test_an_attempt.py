"""An attempt in Chromium: timed and untimed, without script, keys, holds, taps.

Limits of inspection: WCA A3a1, A3b, A4d.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

from playwright.sync_api import expect

from tests.browser.attempted import a_night, at_scramble, drafts, on_a_phone
from tests.browser.conftest import Opener, to_write
from tests.conftest import NOON, Given
from training.inspecting import inspected_of
from training.models import CubeNote, Draft, Inspection, Membership, Plan
from training.rules import Held, Timing

Clock = Callable[[datetime], None]

STUBS = """
window.shakes = [];
navigator.vibrate = (one) => window.shakes.push(one);
window.tones = [];
window.AudioContext = class {
  currentTime = 0;
  createOscillator() {
    return { frequency: {}, connect: (to) => to, start: (at) => window.tones.push(at), stop() {} };
  }
  createGain() {
    const gain = { setValueAtTime() {}, exponentialRampToValueAtTime() {} };
    return { gain, connect: (to) => to };
  }
};
"""
"""What a device would do to be felt and heard, noted instead."""


def test_a_timed_attempt_from_the_scramble_to_the_plan(
    club_day: Given, member: Membership, open_browser: Opener, clock: Clock
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member)
    page = at_scramble(browser, a_set)
    row = page.get_by_role("list", name="Scramble").get_by_role("button").first
    row.click()
    expect(row).to_have_attribute("aria-pressed", "true")
    browser.is_clean()

    page.get_by_role("link", name="It looks like this").click()
    expect(page).to_have_url(re.compile("/inspect/$"))
    expect(page.get_by_role("heading", name="Inspect")).to_be_focused()
    page.get_by_label("15 seconds, as at a competition").check()
    # Heard only where somebody asks for it.
    expect(page.get_by_label("With a tone at 8 and 12 seconds")).not_to_be_checked()
    page.get_by_role("button", name="Start").click()
    expect(page.get_by_role("status").filter(has_text="Look")).to_be_visible()
    browser.is_clean()
    expect(page.locator("[data-mark='1'].is-full")).to_be_visible()

    # Going back finds the scramble covered.
    page.go_back()
    expect(page.get_by_role("heading", name="The scramble is covered")).to_be_visible()
    expect(page.get_by_role("list", name="Scramble")).to_be_hidden()
    page.get_by_role("link", name="Back to the inspection").click()

    clock(NOON + timedelta(seconds=14))
    page.get_by_role("button", name="Write", exact=True).click()
    expect(page).to_have_url(re.compile("/write/$"))
    field = page.get_by_label("Your plan")
    expect(field).to_be_focused()
    field.press_sequentially("z2 D' R'")
    expect(page.locator("[name=ended_trip]")).not_to_have_value("")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="This is your plan")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text(
        "You start with yellow on top, green in front, after z2."
    )
    browser.is_clean()
    # Back and forth asks nothing and loses nothing.
    page.go_back()
    expect(page.get_by_label("Your plan")).to_have_value("z2 D' R'")
    page.go_forward()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
    assert drafts(page) == 0
    plan = Plan.objects.get(membership=member, scramble__scramble_set=a_set)
    assert not Draft.objects.exists()
    told = inspected_of(plan.inspection)
    assert told.taken == 14_000
    assert told.in_time
    assert 0 < told.doubt < 3000


def test_calls_come_at_eight_and_twelve_seconds_and_then_over_and_late(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    member.inspects = "timed"
    member.save()
    a_set = a_night(club_day, timing=Timing.TIMED)
    browser = on_a_phone(open_browser, member)
    page = browser.page
    page.add_init_script(STUBS)
    page.clock.install()
    at_scramble(browser, a_set, step="inspect/")
    expect(page.get_by_text("This set is timed only.")).to_be_visible()
    # The script is there, and the clock stands.
    expect(page.get_by_label("With a tone at 8 and 12 seconds")).to_be_visible()
    page.clock.pause_at(datetime.now() + timedelta(days=400))
    page.get_by_role("button", name="Start").click()
    # The site has answered: otherwise the tap would count as one without a line.
    expect(page.locator("[data-draft] [name=begun_trip]")).not_to_have_value("")
    said = page.locator("[data-call]")
    for seconds, words, full in (
        (7.5, "Look", 7),
        (1, "8 seconds", 8),
        (4, "12 seconds", 12),
        (3, "Over 15 seconds", 15),
        (2, "Late", 15),
    ):
        page.clock.run_for(int(seconds * 1000))
        expect(said).to_have_text(words)
        expect(page.locator("[data-mark].is-full")).to_have_count(full)
    assert page.evaluate("window.shakes.length") == 3
    # Nobody hears anything without having asked for it.
    assert page.evaluate("window.tones") == []

    at_scramble(browser, a_set, 2, step="inspect/")
    page.get_by_label("With a tone at 8 and 12 seconds").check()
    page.get_by_role("button", name="Start").click()
    expect(page.locator("[data-draft] [name=begun_trip]")).not_to_have_value("")
    heard = []
    for seconds in (7.5, 1, 4, 3, 2):
        page.clock.run_for(int(seconds * 1000))
        heard.append(page.evaluate("window.tones.splice(0).length"))
    # The calls at 8 and 12 seconds alone; the second is two tones, so that they are told apart.
    assert heard == [0, 1, 2, 0, 0]


def test_a_tap_before_the_script_has_come_keeps_its_time(
    club_day: Given, member: Membership, open_browser: Opener, clock: Clock
) -> None:
    """The browser has measured it: W3C, Navigation Timing, ``redirectEnd``."""
    a_set = a_night(club_day, timing=Timing.TIMED)
    browser = on_a_phone(open_browser, member, reserve=True)
    page = browser.page
    the_script = re.compile(r"/attempt\.[^/]*js$")
    page.route(the_script, lambda route: route.abort())
    at_scramble(browser, a_set, step="inspect/")
    page.unroute(the_script)
    page.get_by_role("button", name="Start").click()
    begun = page.locator("[data-draft] [name=begun_trip]")
    expect(begun).not_to_have_value("")
    expect(page).to_have_url(re.compile("/inspect/$"))
    clock(NOON + timedelta(seconds=9))
    page.get_by_role("button", name="Write", exact=True).click()
    page.get_by_label("Your plan").fill("D' R'")
    expect(page.locator("[data-draft] [name=ended_trip]")).not_to_have_value("")
    page.get_by_role("button", name="Continue").click()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
    told = inspected_of(Plan.objects.get(scramble__scramble_set=a_set).inspection)
    assert (told.taken, told.in_time) == (9_000, True)
    assert 0 < told.longer < 3000


def test_a_second_look_is_noted_and_taking_ones_time_is_untimed(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member)
    page = at_scramble(browser, a_set)
    to_write(page)
    page.get_by_label("Your plan").fill("D'")
    page.get_by_role("button", name="Look again").click()
    expect(page.get_by_role("list", name="Scramble")).to_be_visible()
    expect(page.get_by_text("your plan is kept with a second look")).to_be_visible()
    page.get_by_role("link", name="Go on writing").click()
    expect(page.get_by_label("Your plan")).to_have_value("D'")
    page.get_by_role("button", name="Continue").click()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("untimed, with a second look")


def test_a_cube_that_differs_is_told_to_the_coach(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    page = at_scramble(on_a_phone(open_browser, member), a_set)
    page.get_by_text("My cube differs").click()
    page.get_by_role("button", name="tell the coach").click()
    expect(page.get_by_text("Your coach reads that your cube differs here.")).to_be_visible()
    assert CubeNote.objects.get().membership == member


def test_without_script_every_step_works_untimed(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member, script=False)
    page = at_scramble(browser, a_set)
    page.get_by_role("link", name="It looks like this").click()
    page.get_by_label("15 seconds, as at a competition").check()
    page.get_by_role("button", name="Start").click()
    page.get_by_role("button", name="Write", exact=True).click()
    page.get_by_label("Your plan").fill("D' R' Q")
    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("alert")).to_contain_text("Q at character 7")
    expect(page.get_by_label("Your plan")).to_have_value("D' R' Q")
    page.get_by_label("Your plan").fill("D' R'")
    page.get_by_role("button", name="Continue").click()
    page.reload()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
    plan = Plan.objects.get(membership=member, scramble__scramble_set=a_set)
    assert not inspected_of(plan.inspection).timed
    page.go_back()
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()


def test_keys_give_a_move_in_any_order_and_are_in_reach(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    page = at_scramble(on_a_phone(open_browser, member, touch=True), a_set, step="write/")
    keys = page.get_by_role("group", name="Move keys")
    press = {"2": "two, a half turn", "w": "wide, two layers", "'": "prime, anticlockwise"}
    field = page.get_by_label("Your plan")
    for order in ("R2w", "Rw2", "2Rw", "w2R", "2wR", "wR2"):
        keys.get_by_role("button", name="Clear").click()
        for one in order:
            keys.get_by_role("button", name=press.get(one, one), exact=True).click()
        expect(field).to_have_value("Rw2")
    for one in ("M, a slice, two moves", "E, a slice, two moves", "x"):
        keys.get_by_role("button", name=one, exact=True).click()
    expect(field).to_have_value("Rw2 M E x")
    keys.get_by_role("button", name="Take back").click()
    expect(field).to_have_value("Rw2 M E")
    for button in keys.get_by_role("button").all():
        box = button.bounding_box()
        assert box is not None
        assert box["height"] >= 44
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 320
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    # A phone's own keyboard stays away until it is asked for.
    expect(field).to_have_attribute("inputmode", "none")
    keys.get_by_role("button", name="Keyboard").click()
    expect(field).to_have_attribute("inputmode", "text")
    keys.get_by_role("button", name="Keyboard").click()
    expect(field).to_have_attribute("inputmode", "none")


def test_a_freely_held_set_takes_the_hold_in_two_taps_and_offers_it_again(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day, held=Held.FREE)
    browser = on_a_phone(open_browser, member)
    page = at_scramble(browser, a_set, step="write/")
    page.get_by_role("group", name="On top").get_by_label("yellow").check()
    page.get_by_role("group", name="In front").get_by_label("green").check()
    page.get_by_label("Your plan").fill("U' L'")
    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("main")).to_contain_text("You start with yellow on top, green in front")
    browser.is_clean()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
    plan = Plan.objects.get(membership=member, scramble__scramble_set=a_set)
    assert (plan.held, plan.canonical) == ("yellow green", "z2 U' L'")
    at_scramble(browser, a_set, 2, step="write/")
    expect(page.get_by_role("group", name="On top").get_by_label("yellow")).to_be_checked()


def test_taps_from_opening_the_site_to_a_plan_handed_in(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = on_a_phone(open_browser, member)
    page = browser.go("/")
    taps = [
        page.get_by_role("link", name="Plan scramble 1"),
        page.get_by_role("link", name="It looks like this"),
        page.get_by_role("button", name="Start"),
        page.get_by_role("button", name="Write", exact=True),
    ]
    for one in taps:
        one.click()
    page.keyboard.type("D' R'")
    for one in ("Continue", "Hand in"):
        page.get_by_role("button", name=one).click()
        taps.append(page.get_by_role("button", name=one))
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
    assert len(taps) == 6
    assert Inspection.objects.count() == 1
