"""The first owner's page: what it proposes before anybody has chosen."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Opener
from training.models import Club
from training.services import people

ZONE = "Time zone of the club"


@pytest.fixture
def start(live_server: object, db: None) -> str:
    """The address at which the first owner sets up the club."""
    return people.make_owner_link(base_url="")


@pytest.mark.parametrize("zone", ["Europe/Berlin", "Asia/Tokyo"])
def test_the_browsers_own_zone_is_proposed(start: str, open_browser: Opener, zone: str) -> None:
    browser = open_browser(width=360, zone=zone)
    page = browser.go(start)
    expect(page.get_by_label(ZONE)).to_have_value(zone)
    browser.is_clean()


def test_what_the_person_chose_stays(start: str, open_browser: Opener) -> None:
    browser = open_browser(zone="Europe/Berlin")
    page = browser.go(start)
    page.get_by_label(ZONE).select_option("Pacific/Auckland")
    page.get_by_role("button", name="Set up the club").click()
    expect(page.get_by_role("alert")).to_contain_text("Give the club a name.")
    expect(page.get_by_label(ZONE)).to_have_value("Pacific/Auckland")


def test_without_script_no_zone_is_proposed(start: str, open_browser: Opener) -> None:
    browser = open_browser(zone="Europe/Berlin", script=False)
    page = browser.go(start)
    expect(page.get_by_label(ZONE)).to_have_value("")
    page.get_by_label("Name of the club").fill("Harbour Lane")
    page.get_by_label("Your name, as members see it").fill("Mara")
    page.get_by_label("Sign-in name").fill("mara")
    page.get_by_label("New pass phrase").fill("quiet green kettles")
    page.get_by_role("button", name="Set up the club").click()
    expect(page.get_by_role("alert")).to_contain_text("Choose the time zone of the club.")
    page.get_by_label(ZONE).select_option("Europe/Oslo")
    page.get_by_label("New pass phrase").fill("quiet green kettles")
    page.get_by_role("button", name="Set up the club").click()
    expect(page).to_have_title("Coach’s day · Harbour Lane")
    assert Club.objects.get().time_zone == "Europe/Oslo"


def test_a_pass_phrase_is_shown_while_it_is_typed(start: str, open_browser: Opener) -> None:
    browser = open_browser(width=360)
    page = browser.go(start)
    phrase = page.get_by_label("New pass phrase")
    phrase.fill("quiet green kettles")
    expect(phrase).to_have_attribute("type", "password")
    page.get_by_role("button", name="Show it").click()
    expect(phrase).to_have_attribute("type", "text")
    expect(phrase).to_have_value("quiet green kettles")
    browser.is_clean()
    page.get_by_role("button", name="Hide it").click()
    expect(phrase).to_have_attribute("type", "password")
