"""Without a line: the page in reserve, what was typed, and the way back."""

from __future__ import annotations

import json

from playwright.sync_api import expect

from tests.browser.conftest import Opener
from tests.conftest import Given
from training.models import Membership, ScrambleSet

READY = "navigator.serviceWorker.ready.then((ready) => ready.active !== null)"
KEPT = """
async () => {
  const found = [];
  for (const name of await caches.keys()) {
    for (const request of await (await caches.open(name)).keys()) {
      found.push(new URL(request.url).pathname);
    }
  }
  return found;
}
"""


def test_the_page_in_reserve_says_what_is_kept_and_goes_when_the_line_is_back(
    club_day: Given, member: Membership, second: Membership, open_browser: Opener
) -> None:
    browser = open_browser(width=360, reserve=True)
    browser.sign_in(member)
    today = ScrambleSet.objects.latest("opens_at")
    address = f"/c/lantern-street/sets/{today.pk}/1/"
    page = browser.go(address)
    assert page.evaluate(READY)
    kept = {
        f"plan:{member.pk}:77": {"plan": "D' R' F2"},
        f"again:{member.pk}:77": {"written": "L U", "stands": "1"},
        # Somebody else of the family, whose session ended by itself.
        f"plan:{second.pk}:77": {"plan": "B2 B2"},
    }
    for key, draft in kept.items():
        page.evaluate(
            "([key, value]) => localStorage.setItem(key, value)", [key, json.dumps(draft)]
        )
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", name="No connection")).to_be_visible()
    expect(page.get_by_role("listitem").filter(has_text="D' R' F2")).to_be_visible()
    expect(page.get_by_role("listitem").filter(has_text="From a second look:")).to_contain_text(
        "L U"
    )
    assert member.display_name not in page.content()
    expect(page.get_by_text("B2 B2")).to_have_count(0)
    browser.is_clean()
    page.get_by_role("link", name="Try again").click()
    expect(page.get_by_role("heading", name="No connection")).to_be_visible()
    browser.complaints.clear()  # the browser's own words about the line
    page.context.set_offline(False)
    expect(page.get_by_role("heading", name="No connection")).to_have_count(0)
    assert page.url.endswith(address)


def test_no_page_of_a_club_is_kept_on_the_device(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser(reserve=True)
    browser.sign_in(member)
    browser.go("/")
    page = browser.page
    assert page.evaluate(READY)
    for place in ("today", "table", "progress"):
        browser.go(f"/c/lantern-street/{place}/")
    kept = page.evaluate(KEPT)
    assert "/offline/" in kept
    assert [one for one in kept if one != "/offline/" and not one.startswith("/static/")] == []
