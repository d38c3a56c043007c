"""What is typed outlives a cut line, reloads, tabs, sessions; and nobody else finds it.

Our own promise, no source.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.attempted import a_night, at_scramble, drafts, on_a_phone
from tests.browser.conftest import Opener
from tests.conftest import PHRASE, Given
from training.models import Membership, Plan, ScrambleSet, Standing


def cut(page: Page, *, off: bool = True) -> None:
    page.context.set_offline(off)


@pytest.mark.parametrize("step", ["inspect", "end", "write", "read back", "hand in"])
def test_a_line_cut_at_any_step_loses_nothing(
    step: str, club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member)
    page = at_scramble(browser, a_set)
    page.get_by_role("link", name="It looks like this").click()
    if step == "inspect":
        cut(page)
    page.get_by_role("button", name="Start").click()
    expect(page.get_by_role("button", name="Write", exact=True)).to_be_visible()
    if step == "end":
        cut(page)
    page.get_by_role("button", name="Write", exact=True).click()
    if step == "write":
        cut(page)
    page.get_by_label("Your plan").fill("D' R'")
    if step == "read back":
        cut(page)
    page.get_by_role("button", name="Continue").click()
    if step == "hand in":
        expect(page.get_by_role("heading", name="This is your plan")).to_be_visible()
        cut(page)
        page.get_by_role("button", name="Hand in").click()
    else:
        expect(page.get_by_text("No connection. What you typed is still here.")).to_be_visible()
        expect(page.get_by_label("Your plan")).to_have_value("D' R'")
        read = page.get_by_role("status").filter(has_text="This is your plan")
        expect(read).to_contain_text("You start with white on top, green in front.")
        page.get_by_role("button", name="Hand it in when the connection is back").click()
    expect(page.get_by_text("Your plan waits here and goes in when it is back.")).to_be_visible()
    assert Plan.objects.filter(membership=member, scramble__scramble_set=a_set).count() == 0
    assert drafts(page) == 1
    cut(page, off=False)
    expect(page.get_by_text("Your plan is in.", exact=True)).to_be_visible()
    plan = Plan.objects.get(membership=member, scramble__scramble_set=a_set)
    assert plan.canonical == "D' R'"
    assert drafts(page) == 0


def test_a_plan_that_waits_goes_in_once_when_the_tab_is_opened_again(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member)
    page = at_scramble(browser, a_set, step="write/")
    page.get_by_label("Your plan").fill("D' R'")
    cut(page)
    page.get_by_role("button", name="Continue").click()
    page.get_by_role("button", name="Hand it in when the connection is back").click()
    expect(page.get_by_text("Your plan waits here")).to_be_visible()
    context = page.context
    page.close()  # the laptop is closed
    cut_again = context.new_page()
    context.set_offline(False)
    cut_again.goto(f"{browser.base}/c/lantern-street/today/")
    expect(cut_again.get_by_text("Your plan is in.", exact=True)).to_be_visible()
    assert Plan.objects.filter(membership=member, scramble__scramble_set=a_set).count() == 1


def test_what_is_typed_outlives_reloads_tabs_sessions_and_tokens(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member)
    page = at_scramble(browser, a_set, step="write/")
    page.get_by_label("Your plan").press_sequentially("D' L")
    page.reload()
    expect(page.get_by_label("Your plan")).to_have_value("D' L")
    at_scramble(browser, a_set, 2)
    page.go_back()
    expect(page.get_by_label("Your plan")).to_have_value("D' L")
    # A second tab has it too, and what is typed there comes back to the first.
    other = page.context.new_page()
    other.goto(page.url)
    expect(other.get_by_label("Your plan")).to_have_value("D' L")
    other.get_by_label("Your plan").press_sequentially(" R'")
    expect(page.get_by_label("Your plan")).to_have_value("D' L R'")
    # The session ends; signing in again brings another token.
    page.context.clear_cookies()
    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("main")).to_contain_text(re.compile("signed out|open too long"))
    browser.complaints.clear()
    browser.sign_in_by_the_page(member)
    other.get_by_role("button", name="Continue").click()
    expect(other.get_by_role("heading", name="This is your plan")).to_be_visible()
    other.get_by_role("button", name="Hand in").click()
    expect(other.get_by_role("heading", name="Your plan is in")).to_be_visible()
    assert Plan.objects.get(membership=member, scramble__scramble_set=a_set).canonical == "D' L R'"
    # The first tab learns that a plan is in, with what was typed still there.
    at_scramble(browser, a_set)
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()


def test_signing_out_leaves_nobodys_draft_on_a_family_tablet(
    club_day: Given, member: Membership, second: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member)
    page = at_scramble(browser, a_set, step="write/")
    page.get_by_label("Your plan").fill("D' R'")
    assert drafts(page) == 1
    page.context.clear_cookies()
    browser.sign_in_by_the_page(second)
    at_scramble(browser, a_set, step="write/")
    # Never the other's words.
    expect(page.get_by_label("Your plan")).to_have_value("")
    page.get_by_label("Your plan").fill("R")
    assert drafts(page) == 2
    page.get_by_role("button", name=f"Sign out {second.display_name}").click()
    expect(page.get_by_text("You are signed out.")).to_be_visible()
    assert drafts(page) == 0


def left_with_a_draft(page: Page, a_set: ScrambleSet, base: str) -> None:
    page.goto(f"{base}/c/lantern-street/sets/{a_set.pk}/1/write/")
    page.get_by_label("Your plan").fill("D' R'")
    assert drafts(page) == 1


def test_every_end_by_ones_own_hand_takes_what_was_typed_along(
    club_day: Given, member: Membership, second: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    browser = on_a_phone(open_browser, member)
    page = browser.page
    left_with_a_draft(page, a_set, browser.base)
    browser.go("/devices/")
    page.get_by_role("button", name="Sign out everywhere").click()
    expect(page.get_by_text("You are signed out everywhere.")).to_be_visible()
    assert drafts(page) == 0

    browser.sign_in_by_the_page(member)
    left_with_a_draft(page, a_set, browser.base)
    browser.go("/data/erase/")
    page.get_by_label("Your pass phrase, to show that it is you").fill(PHRASE)
    page.get_by_role("button", name="Erase for good").click()
    expect(page.get_by_role("heading", name="Erased", exact=True)).to_be_visible()
    assert drafts(page) == 0

    # Archived by a coach: what waits could never go in.
    browser.sign_in_by_the_page(second)
    left_with_a_draft(page, a_set, browser.base)
    Membership.objects.filter(pk=second.pk).update(standing=Standing.ARCHIVED)
    page.reload()
    expect(page.get_by_role("heading", name="Your account is archived")).to_be_visible()
    assert drafts(page) == 0


def test_what_is_written_on_while_a_plan_waits_goes_in_by_no_accident(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = a_night(club_day)
    page = at_scramble(on_a_phone(open_browser, member), a_set, step="write/")
    page.get_by_label("Your plan").fill("D' R")
    cut(page)
    page.get_by_role("button", name="Continue").click()
    page.get_by_role("button", name="Hand it in when the connection is back").click()
    expect(page.get_by_text("Your plan waits here and goes in when it is back.")).to_be_visible()
    page.get_by_label("Your plan").press_sequentially("' L")
    expect(page.get_by_text("so it no longer waits")).to_be_visible()
    # A spelling of one's own the device leaves to the site.
    page.get_by_label("Your plan").fill("D' (R')")
    page.get_by_role("button", name="Continue").click()
    here = page.get_by_role("status").filter(has_text="It cannot be read without a connection")
    expect(here).to_contain_text("you read it once more before it goes in")
    # Nor does the page say any more how it read something else.
    expect(page.locator("#plan-echo")).to_be_empty()
    page.get_by_role("button", name="Keep it until the connection is back").click()
    cut(page, off=False)
    expect(page.get_by_role("heading", name="This is your plan")).to_be_visible()
    assert Plan.objects.filter(membership=member, scramble__scramble_set=a_set).count() == 0
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("heading", name="Your plan is in")).to_be_visible()
    assert Plan.objects.get(membership=member, scramble__scramble_set=a_set).canonical == "D' R'"
