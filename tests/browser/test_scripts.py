"""What scripts say to people comes with the page, in its language."""

from __future__ import annotations

import pytest
from django.utils import translation
from playwright.sync_api import expect

from tests.browser.conftest import Opener
from tests.conftest import PHRASE, Given
from training.models import Membership, ScrambleSet


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever passes gettext stands in «» until the test ends."""
    translation.gettext("")
    monkeypatch.setattr(
        translation._trans,  # type: ignore[attr-defined]
        "gettext",
        "«{}»".format,
    )


def test_the_net_is_described_as_the_server_would(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser()
    browser.sign_in(member)
    tuesday = ScrambleSet.objects.earliest("opens_at")
    page = browser.go(f"/c/lantern-street/sets/{tuesday.pk}/2/")
    spoken = page.locator("[data-net] desc")
    at_first = spoken.text_content()
    page.get_by_role("link", name="Move 2, L:").first.click()
    by_script = spoken.text_content()
    assert by_script != at_first
    page.reload()
    assert spoken.text_content() == by_script


def test_keys_and_net_speak_the_pages_language(
    club_day: Given, member: Membership, open_browser: Opener, marked: None
) -> None:
    browser = open_browser(width=360)
    page = browser.go("/sign-in/")
    page.locator("[name=sign_in_name]").fill(member.person.sign_in_name)
    page.locator("[name=phrase]").fill(PHRASE)
    page.locator("main .button").click()
    tuesday, today = ScrambleSet.objects.order_by("opens_at")
    browser.go(f"/c/lantern-street/sets/{today.pk}/1/write/")
    keys = page.get_by_role("group", name="«Move keys»")
    for name in (
        "«prime, anticlockwise»",
        "«two, a half turn»",
        "«wide, two layers»",
        "«Take back»",
    ):
        expect(keys.get_by_role("button", name=name, exact=True)).to_be_visible()
    browser.go(f"/c/lantern-street/sets/{tuesday.pk}/2/")
    at_first = page.locator("[data-net] desc").text_content()
    page.locator("[data-step='2']").first.click()
    described = page.locator("[data-net] desc").text_content()
    assert described != at_first
    assert described
    assert described.startswith("«top»: «")
    assert described.count("«white»") == 9
