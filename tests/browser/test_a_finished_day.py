"""A day on which all plans are in: its total, the one plan to look at again, practice."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.conftest import Opener
from tests.conftest import EASY, NOON, Given
from training.models import Membership, ScrambleSet

PLANS = ("D' R'", "R' D'", "F' R' U U'", "R' F'", "B' R'")
"""For the crosses of EASY, which two turns solve: all exact but the third, two moves over."""


def test_it_ends_with_a_total_one_plan_and_practice(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    today = ScrambleSet.objects.opened(NOON).filter(closes_at__gt=NOON).get()
    assert len(PLANS) == len(EASY) == today.scrambles.count()
    browser = open_browser(width=360)
    page = browser.page
    for number, plan in list(enumerate(PLANS, start=1))[:-1]:
        club_day.a_plan(member, today, number, plan)
    browser.sign_in(member)
    browser.go("/")
    # With one plan to come the day is not over.
    heading = page.get_by_role("heading", name="The day’s crosses are in")
    expect(page.get_by_role("link", name="Plan scramble 5")).to_be_visible()
    expect(heading).to_have_count(0)

    club_day.a_plan(member, today, 5, PLANS[-1])
    page.reload()
    expect(heading).to_be_visible()
    card = page.get_by_role("region", name="The day’s crosses are in")
    expect(card).to_contain_text("Your plans: 2 over the best on 5 crosses.")
    expect(card).to_contain_text("Hands tire before heads do.")
    browser.is_clean()

    # Of all plans the one that cost most is offered, and leads to its verdict.
    again = card.get_by_role("link", name=re.compile("scramble 3"))
    expect(card.get_by_role("link")).to_have_count(2)
    again.click()
    expect(page.get_by_role("heading", name="Solved in 4 moves. The best is 2.")).to_be_visible()
    page.go_back()
    card.get_by_role("link", name="Practise a few more, if you like").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("A few crosses, every day")
    browser.is_clean()
