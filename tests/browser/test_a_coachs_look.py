"""A coach's look at the day: who is in, who is missing, what was lost, live."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.conftest import Opener
from tests.conftest import Given
from training.models import Membership


def test_hand_ins_come_in_live(
    club_day: Given, coach: Membership, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser()
    page = browser.page
    browser.sign_in(coach)
    browser.go("/")
    expect(page.get_by_role("heading", name="1 of 2 have handed in")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Still to come: Ines.")
    browser.is_clean()

    today = member.club.sets.order_by("-opens_at").first()
    assert today is not None
    club_day.a_plan(member, today, 2, "R' L L' D'")
    expect(page.get_by_role("heading", name="2 of 2 have handed in")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Everybody is in.")
    browser.is_clean()

    page.get_by_role("link", name=re.compile("Ines, scramble 2")).click()
    expect(page.get_by_role("heading", name="Ines: Solved in 4 moves.")).to_be_visible()
    expect(page.get_by_role("table")).to_contain_text("lost")
    browser.is_clean()


def test_the_focus_survives_the_refreshing(
    club_day: Given, coach: Membership, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser()
    page = browser.page
    browser.sign_in(coach)
    browser.go("/")
    link = page.get_by_role("link", name=re.compile("Bashir, scramble 1"))
    link.focus()
    today = member.club.sets.order_by("-opens_at").first()
    assert today is not None
    club_day.a_plan(member, today, 1, "D' R'")
    expect(page.get_by_role("heading", name="2 of 2 have handed in")).to_be_visible()
    expect(link).to_be_focused()


def test_letting_somebody_in_and_a_card_for_a_forgotten_phrase(
    club_day: Given, coach: Membership, member: Membership, open_browser: Opener
) -> None:
    desk = open_browser()
    page = desk.page
    desk.sign_in(coach)
    desk.go("/")
    page.get_by_role("link", name="People", exact=True).click()
    page.get_by_role("button", name="Make an invite link").click()
    expect(page.get_by_role("heading", name="The invite link, shown once")).to_be_visible()
    desk.is_clean()
    page.get_by_role("button", name="Sign-in card for Ines").click()
    code = page.locator(".code").inner_text()
    desk.is_clean()

    phone = open_browser(width=360)
    phone.go("/code/")
    phone.page.get_by_label("Sign-in name").fill("ines")
    phone.page.get_by_label("One-time code").fill(code)
    phone.page.get_by_role("button", name="Sign in").click()
    phone.page.get_by_label("New pass phrase").fill("quiet green kettles")
    phone.page.get_by_role("button", name="Set the phrase").click()
    expect(phone.page.get_by_role("heading", name="Wednesday’s set")).to_be_visible()
    phone.is_clean()
