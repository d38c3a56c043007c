"""The ten jobs of a coach's week are each within three clicks of the coach's day, by thumb.

Which jobs those are is product's own; that three clicks are few is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener
from tests.conftest import Given, make_membership
from training.models import Club, Membership, Role

MOST_CLICKS = 3


@dataclass(frozen=True)
class Job:
    """``steps``: what is clicked, one after the other: a link by its name, ``+name`` for a fold.

    ``there``: the button with which the job is done, or what else ``role`` says.
    """

    name: str
    steps: tuple[str, ...]
    there: str
    role: Literal["button", "navigation"] = "button"


JOBS = (
    Job("choose the next lesson", ("Review", "base turn"), "Give it to the group"),
    Job("schedule the week", ("Week", "add"), "See what changes"),
    Job(
        "read the day's plans",
        ("Read them one after the other",),
        "Plans of this set",
        "navigation",
    ),
    Job("homework by level", ("Review", "base turn"), "Give it to the group"),
    Job("a set for the club night", ("Review", "base turn"), "Give it to the group"),
    Job("announce a challenge", ("Challenges", "+Announce a challenge"), "Announce it"),
    Job("take a misprinted scramble out", ("Take something out",), "Take it out for everybody"),
    Job("a holiday", ("Week", "Paste holidays"), "Read them back"),
    Job("new people", ("People", "Add members from a list"), "Look at every line"),
    Job("take everything along", ("Export",), "Download it"),
)


def reach(page: Page, job: Job) -> int:
    """Go there from the coach's day; how many clicks it took."""
    for step in job.steps:
        if step.startswith("+"):
            page.locator("summary", has_text=step[1:]).click()
        else:
            page.get_by_role("link", name=step).first.click()
    expect(page.get_by_role(job.role, name=job.there).first).to_be_visible()
    return len(job.steps)


@pytest.mark.usefixtures("club_day")
def test_each_job_is_within_three_clicks_and_within_a_phones_width(
    club: Club, open_browser: Opener
) -> None:
    owner = make_membership(club, "Odd", Role.OWNER)
    browser = open_browser(width=360)
    browser.sign_in(owner)
    clicks = {}
    for job in JOBS:
        browser.go(f"/c/{club.slug}/coach/")
        clicks[job.name] = reach(browser.page, job)
        wide = browser.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 360, job.name
        # What the job is done with is not to be looked for beside the screen.
        box = browser.page.get_by_role(job.role, name=job.there).first.bounding_box()
        assert box is not None
        assert box["x"] >= 0, job.name
        assert box["x"] + box["width"] <= 360, job.name
    assert len(clicks) == 10
    assert max(clicks.values()) <= MOST_CLICKS


def test_on_a_phone_no_table_of_the_day_reaches_beyond_the_screen(
    club: Club, club_day: Given, coach: Membership, member: Membership, open_browser: Opener
) -> None:
    """The cells fold under their line: what a table says is seen without moving it sideways."""
    browser = open_browser(width=360)
    browser.sign_in(coach)
    for address in ("coach/", "table/", "table/week/2026-11-25/", "table/all/"):
        browser.go(f"/c/{club.slug}/{address}")
        beyond = browser.page.evaluate(
            "[...document.querySelectorAll('.scroll')].map(e => e.scrollWidth - e.clientWidth)"
        )
        assert beyond, address
        assert max(beyond) <= 0, (address, beyond)
    # It is a table still, for whoever hears it.
    browser.go(f"/c/{club.slug}/coach/")
    expect(browser.page.get_by_role("rowheader", name="Bashir").first).to_be_visible()
    expect(browser.page.get_by_role("columnheader", name="moves lost")).to_be_visible()
