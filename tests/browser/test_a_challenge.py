"""A weekly challenge as its people have it: announced, planned, asked about, confirmed, posted."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Opener, Watched, Worker, to_write
from tests.conftest import NOON, Given
from tests.training.challenged import a_challenge, easy, planned
from training.models import Challenge, Club, Membership
from training.services.challenges import draw_announced
from training.services.confirming import settle_due

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)


def hand_in(browser: Watched, plan: str) -> None:
    """Write a plan, read it back, hand it in."""
    page = browser.page
    to_write(page)
    page.get_by_label("Your plan").fill(plan)
    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("heading", name="This is your plan")).to_be_focused()
    page.get_by_role("button", name="Hand in").click()
    expect(page.get_by_role("status")).to_have_text("Handed in, being checked.")


def test_from_its_announcement_to_the_post(
    club: Club,
    coach: Membership,
    member: Membership,
    open_browser: Opener,
    worker: Worker,
    clock: Callable[[datetime], None],
) -> None:
    clock(NOON)
    desk, phone = open_browser(), open_browser(width=360)
    desk.sign_in(coach)
    desk.go("/")
    desk.page.get_by_role("link", name="Challenges", exact=True).click()
    desk.page.locator("summary", has_text="Announce a challenge").click()
    desk.page.get_by_label("Name", exact=True).first.fill("First snow")
    desk.page.get_by_label("Opens on").fill("2026-11-26")
    desk.page.get_by_label("Closes on").fill("2026-11-28")
    desk.page.get_by_label("Crosses", exact=True).fill("2")
    desk.page.get_by_role("button", name="Announce it").click()
    expect(desk.page.get_by_role("main")).to_contain_text("First snow")
    assert draw_announced(drawer=easy, now=NOON) == 1
    challenge = Challenge.objects.select_related("scramble_set").get()

    # The member reads that it comes, in one line, and nothing of what.
    phone.sign_in(member)
    phone.go("/")
    phone.go(f"/c/{club.slug}/today/")
    expect(phone.page.get_by_role("main")).to_contain_text("First snow")
    phone.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    expect(phone.page.get_by_role("main")).to_contain_text("Opens")
    expect(phone.page.get_by_role("main")).to_contain_text("sealed until then")
    sealed = phone.page.goto(f"{phone.base}/c/{club.slug}/sets/{challenge.scramble_set_id}/")
    assert sealed is not None
    assert sealed.status == 404
    phone.complaints.clear()

    # It opens: the page says what to do, and leads there.
    clock(challenge.scramble_set.opens_at)
    phone.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    phone.page.get_by_role("link", name="Plan 2 crosses").click()
    hand_in(phone, "D2 D R'")
    worker.work()
    phone.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    phone.page.get_by_role("link", name="Plan 1 cross").click()
    hand_in(phone, "R' D'")
    worker.work()
    phone.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    expect(phone.page.get_by_role("main")).to_contain_text("All your plans are in.")
    phone.is_clean()

    # It has closed and everything is checked: the member asks, the coach answers.
    clock(challenge.scramble_set.closes_at + timedelta(minutes=1))
    settle_due()
    phone.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    expect(phone.page.get_by_role("main")).to_contain_text("Closed. Questions until")
    phone.page.get_by_role("navigation", name="Ask about").get_by_role(
        "link", name="Scramble 1"
    ).click()
    phone.page.get_by_label("Your question").fill("Why is D2 D no one move?")
    phone.page.get_by_role("button", name="Ask", exact=True).click()
    phone.is_clean()
    desk.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    expect(desk.page.get_by_role("button", name="Confirm the result")).to_have_count(0)
    desk.page.get_by_role("link", name="Answer 1 question").click()
    desk.page.get_by_label("Your answer").fill("It is: D' does both.")
    desk.page.get_by_role("button", name="Answer", exact=True).click()
    desk.is_clean()
    phone.go(f"/c/{club.slug}/sets/{challenge.scramble_set_id}/1/")
    expect(phone.page.get_by_role("main")).to_contain_text("It is: D' does both.")

    # Confirmed by the coach, posted, and read by the member.
    desk.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    desk.page.get_by_role("button", name="Confirm the result").click()
    desk.page.get_by_role("link", name="Post the result").click()
    desk.page.get_by_role("button", name="Post the result").click()
    desk.is_clean()
    phone.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    expect(phone.page.get_by_role("main")).to_contain_text(
        "You are number 1 of 1, with 1 move over."
    )
    phone.is_clean()


def test_without_anybody_at_the_desk_the_result_stands_by_itself(
    club: Club,
    coach: Membership,
    member: Membership,
    open_browser: Opener,
    worker: Worker,
    clock: Callable[[datetime], None],
) -> None:
    """The machine was off through the closing and all the time for questions."""
    clock(NOON)
    challenge = a_challenge(club, by=coach, opens=NOON + DAY, closes=NOON + 2 * DAY)
    planned(Given(club), challenge, member, ["D' R'", "R' D'"])
    worker.rung.clear()
    clock(challenge.scramble_set.closes_at + 9 * DAY)
    phone = open_browser(width=360)
    phone.sign_in(member)
    phone.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    expect(phone.page.get_by_role("main")).to_contain_text("Confirmed")
    expect(phone.page.get_by_role("main")).to_contain_text("You are number 1 of 1")
    phone.is_clean()
