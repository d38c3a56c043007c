"""What tests of attempts in Chromium do again and again."""

from __future__ import annotations

from playwright.sync_api import Page

from tests.browser.conftest import Opener, Watched
from tests.conftest import Given
from training.models import Membership, ScrambleSet


def a_night(given: Given, **rules: object) -> ScrambleSet:
    """A set of the day beside the daily one, with rules of its own."""
    return given.a_set(kind="club_night", **rules)


def on_a_phone(open_browser: Opener, who: Membership, **more: object) -> Watched:
    browser = open_browser(width=320, **more)
    browser.sign_in(who)
    return browser


def at_scramble(browser: Watched, a_set: ScrambleSet, number: int = 1, step: str = "") -> Page:
    return browser.go(f"/c/lantern-street/sets/{a_set.pk}/{number}/{step}")


def drafts(page: Page) -> int:
    return int(page.evaluate("Object.keys(localStorage).filter(k => k.startsWith('plan:')).length"))
