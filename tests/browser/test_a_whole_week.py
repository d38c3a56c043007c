"""A coach's whole week in one go, on a phone: planned, played, put right, taught, confirmed, told.

What belongs to a coach's week is product's own; that a phone may be 360 px wide is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from playwright.sync_api import Locator, expect

from solverworker.tasks import DRAWERS
from tests.browser.conftest import Opener, Watched, Worker
from tests.browser.test_a_challenge import hand_in
from tests.conftest import NOON, Given
from tests.training.challenged import easy, planned
from training.models import Challenge, Club, DayOff, Membership, ScrambleSet
from training.services.challenges import draw_announced
from training.services.confirming import settle_due
from training.services.issuing import issue_due
from training.services.sets import fill_picked

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


CLICKS = {
    "a set more": 4,
    "a day off": 3,
    "announce a challenge": 3,
    "a correction": 3,
    "a day off noted late": 3,
    "a lesson as homework": 3,
    "answer a question": 2,
    "confirm": 2,
    "post": 3,
    "the week's table": 2,
}
"""Clicks of each job from the coach's day until it is done, but for what is typed and ticked."""


class Coach:
    """A coach with a phone: goes on by what the page offers, and every page fits the screen."""

    def __init__(self, browser: Watched, club: Club) -> None:
        self.browser, self.page, self.root = browser, browser.page, f"/c/{club.slug}/"
        self.clicks = 0

    @property
    def main(self) -> Locator:
        return self.page.get_by_role("main")

    def fits(self) -> None:
        """Nothing of the page lies beside the screen."""
        # A page that is being left has no element of its own for a moment.
        expect(self.main).to_be_visible()
        self.page.wait_for_load_state()
        assert self.page.evaluate("document.documentElement.scrollWidth") <= 360, self.page.url

    def tap(self, name: str, role: str = "link") -> None:
        self.page.get_by_role(role, name=name).first.click()  # type: ignore[arg-type]
        self.clicks += 1
        self.fits()

    def press(self, name: str) -> None:
        self.tap(name, "button")

    @contextmanager
    def job(self, counted: dict[str, int], name: str) -> Iterator[None]:
        """A job that begins on the coach's day; its clicks are counted under its name."""
        self.browser.go(f"{self.root}coach/")
        self.fits()
        self.clicks = 0
        yield
        counted[name] = self.clicks
        assert self.browser.complaints == [], name


def test_a_week_from_its_plan_to_the_post(
    club: Club,
    club_day: Given,
    coach: Membership,
    member: Membership,
    second: Membership,
    open_browser: Opener,
    worker: Worker,
    clock: Callable[[datetime], None],
) -> None:
    counted: dict[str, int] = {}
    phone = open_browser(width=360)
    phone.sign_in(coach)
    at = Coach(phone, club)

    # Wednesday: the week is planned.
    with at.job(counted, "a set more"):
        at.tap("Week")
        friday = at.page.get_by_role("listitem").filter(has_text="Friday 27 November")
        friday.get_by_role("link", name="add").click()
        at.clicks += 1
        at.page.get_by_label("Kind").select_option("club_night")
        at.page.get_by_label("Opens at").fill("18:00")
        at.page.get_by_label("Closes at").fill("20:00")
        at.press("See what changes")
        expect(at.page.get_by_role("status")).to_contain_text("Club night with 5 crosses")
        at.press("Save it so")
        expect(at.main).to_contain_text("one set more")
    with at.job(counted, "a day off"):
        at.tap("Week")
        sunday = at.page.get_by_role("listitem").filter(has_text="Sunday 29 November")
        sunday.get_by_role("link", name="add").click()
        at.clicks += 1
        at.page.get_by_label("Why (members see it)").fill("Sports day")
        at.press("Make it a day off")
        expect(at.main).to_contain_text("Sports day")
    phone.is_clean()
    with at.job(counted, "announce a challenge"):
        at.tap("Challenges")
        at.page.locator("summary", has_text="Announce a challenge").click()
        at.clicks += 1
        at.page.get_by_label("Opens on").fill("2026-11-26")
        at.page.get_by_label("Closes on").fill("2026-11-27")
        at.page.get_by_label("Crosses", exact=True).fill("1")
        at.press("Announce it")
        expect(at.main).to_contain_text("Weekly challenge 1")
    assert draw_announced(drawer=easy, now=NOON) == 1
    challenge = Challenge.objects.select_related("scramble_set").get()

    # A scramble of Tuesday's was misprinted.
    with at.job(counted, "a correction"):
        at.tap("Tuesday")
        at.tap("Take something out")
        at.page.get_by_label("Scramble 5").check()
        at.page.get_by_label("Why").last.fill("misprinted")
        at.press("Take it out for everybody")
        expect(at.main).to_contain_text("Scramble 5 does not count")
    # A day off is noted late: today's set is open, so the page asks what becomes of it.
    with at.job(counted, "a day off noted late"):
        at.tap("Settings")
        at.page.get_by_label("Day without a set").fill("2026-11-25")
        at.press("Add the day")
        # The answer that asks is a refusal, which the browser's console notes.
        at.browser.complaints.clear()
        at.page.get_by_label("Let it run").check()
        at.press("Add the day")
        assert set(DayOff.objects.values_list("day", flat=True)) >= {NOON.date()}

    # The group's costliest idea becomes homework.
    with at.job(counted, "a lesson as homework"):
        at.tap("Review")
        at.tap("base turn")
        at.page.get_by_label("homework", exact=False).first.check()
        at.press("Give it to the group")
    homework = ScrambleSet.objects.get(kind="homework")
    fill_picked(drawer=DRAWERS.picked)

    # Thursday: members plan, one of them by hand here.
    clock(challenge.scramble_set.opens_at)
    issue_due(drawer=DRAWERS.daily, now=challenge.scramble_set.opens_at)
    members = open_browser(width=360)
    members.sign_in(member)
    members.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    members.page.get_by_role("link", name="Plan 1 cross").click()
    hand_in(members, "D2 D R'")
    members.go(f"/c/{club.slug}/today/")
    expect(members.page.get_by_role("main")).to_contain_text("Homework")
    worker.work()
    planned(club_day, challenge, second, ["D' R'"])
    worker.rung.clear()

    # Friday night: closed and checked; a question, and its answer.
    clock(challenge.scramble_set.closes_at + HOUR)
    settle_due()
    members.go(f"/c/{club.slug}/sets/{challenge.scramble_set_id}/1/ask/")
    members.page.get_by_label("Your question").fill("Why is that one over?")
    members.page.get_by_role("button", name="Ask", exact=True).click()
    with at.job(counted, "answer a question"):
        at.tap("Answer under Questions")
        at.page.get_by_label("Your answer").fill("D' does both turns.")
        at.press("Answer")
    members.go(f"/c/{club.slug}/sets/{challenge.scramble_set_id}/1/")
    expect(members.page.get_by_role("main")).to_contain_text("D' does both turns.")
    with at.job(counted, "confirm"):
        at.tap("Weekly challenge 1")
        at.press("Confirm the result")
        expect(at.main).to_contain_text("Confirmed by Kari")
    with at.job(counted, "post"):
        at.tap("Weekly challenge 1")
        at.tap("Post the result")
        at.page.get_by_role("checkbox").first.check()
        at.press("Post the result")
    phone.is_clean()
    with at.job(counted, "the week's table"):
        at.tap("Table")
        tabs = at.page.get_by_role("navigation", name="Which table")
        tabs.get_by_role("link", name="Week").click()
        at.clicks += 1
        at.fits()
        expect(at.main).to_contain_text("Bashir")

    # What came of it is what the club reads.
    members.go(f"/c/{club.slug}/challenges/{challenge.pk}/")
    main = members.page.get_by_role("main")
    expect(main).to_contain_text("You are number 2 of 2, with 1 move over.")
    expect(main).to_contain_text("Bashir")
    assert members.page.evaluate("document.documentElement.scrollWidth") <= 360
    members.is_clean()
    assert homework.scrambles.exists()
    assert DayOff.objects.filter(reason="Sports day").exists()
    assert counted == CLICKS
