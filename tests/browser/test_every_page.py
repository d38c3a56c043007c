"""Every page: axe finds nothing, the console is silent, nothing is wider than a phone."""

from __future__ import annotations

import pytest

from tests.browser.conftest import PICTURES, Opener
from tests.conftest import Given
from training.models import Membership, Plan, ScrambleSet

SIGNED_OUT = {
    "first": "/",
    "first-step": "/?way=1&step=4",
    "notation": "/notation/",
    "sign-in": "/sign-in/",
    "code": "/code/",
    "not-found": "/nothing/here/",
}


def addresses_of_member() -> dict[str, str]:
    """The pages of a member, with what the club's day holds."""
    tuesday, today = ScrambleSet.objects.order_by("opens_at")
    root = "/c/lantern-street"
    return {
        "today": f"{root}/today/",
        "attempt": f"{root}/sets/{today.pk}/1/",
        "verdict-exact": f"{root}/sets/{tuesday.pk}/1/",
        "verdict-loss": f"{root}/sets/{tuesday.pk}/2/?step=3",
        "verdict-unsolved": f"{root}/sets/{tuesday.pk}/3/",
        "missed": f"{root}/sets/{tuesday.pk}/4/",
        "set": f"{root}/sets/{tuesday.pk}/",
        "table-day": f"{root}/table/day/2026-11-24/",
        "table-sealed": f"{root}/table/day/2026-11-25/",
        "table-week": f"{root}/table/week/2026-11-25/",
        "table-all": f"{root}/table/all/",
        "plans": f"{root}/plans/",
        "practice": f"{root}/practice/",
        "phrase": "/phrase/",
    }


def addresses_of_coach() -> dict[str, str]:
    """The pages of a coach."""
    root = "/c/lantern-street"
    plans = list(Plan.objects.order_by("pk"))
    return {
        "coach": f"{root}/coach/",
        "coach-plan": f"{root}/coach/plans/{plans[3].pk}/",
        "coach-no-plan": f"{root}/coach/plans/{plans[4].pk}/",
        "people": f"{root}/people/",
        "settings": f"{root}/settings/",
    }


LOOKS = [(360, False), (1280, True)]
if PICTURES:
    LOOKS += [(360, True), (1280, False)]


@pytest.mark.parametrize(("width", "dark"), LOOKS)
def test_pages_are_clean_and_fit(
    width: int,
    dark: bool,
    club_day: Given,
    coach: Membership,
    member: Membership,
    open_browser: Opener,
) -> None:
    groups = [
        (None, SIGNED_OUT),
        (member, addresses_of_member()),
        (coach, addresses_of_coach()),
    ]
    troubles: list[str] = []
    for who, addresses in groups:
        browser = open_browser(width=width, dark=dark)
        if who is not None:
            browser.sign_in(who)
        for name, address in addresses.items():
            page = browser.go(address)
            if name == "not-found":
                # The console notes the status itself, as it should.
                browser.complaints.clear()
            troubles += browser.troubles()
            wide = page.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                troubles.append(f"{name} is {wide} wide")
    assert not troubles, "\n".join(troubles)
