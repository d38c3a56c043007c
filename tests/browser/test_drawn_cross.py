"""The script draws what the server draws, moves chips along their rings, and steps by any means."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener, Worker
from tests.conftest import Given
from training.models import Membership, ScrambleSet

DRAWN = """() => {
  const seen = [];
  for (const svg of document.querySelectorAll('[data-drawn] svg')) {
    for (const one of [svg, ...svg.querySelectorAll('*')]) {
      const named = [...one.attributes].filter((each) => each.name !== 'aria-labelledby');
      const text = one.children.length ? '' : one.textContent.trim();
      const values = named.map((each) => `${each.name}=${each.value}`).sort();
      seen.push([one.tagName, ...values, text].join(' '));
    }
  }
  return seen;
}"""
NUMBER = re.compile(r"-?\d+\.?\d*")


def same(one: str, other: str) -> bool:
    """Whether two elements are alike but for the last digit of their numbers."""
    if NUMBER.sub("#", one) != NUMBER.sub("#", other):
        return False
    pairs = zip(NUMBER.findall(one), NUMBER.findall(other), strict=True)
    # An angle of -180 is one of 180.
    return all(abs(float(a) - float(b)) < 0.12 or abs(float(a) - float(b)) == 360 for a, b in pairs)


def opened(open_browser: Opener, member: Membership, query: str = "") -> Page:
    browser = open_browser()
    browser.sign_in(member)
    tuesday = ScrambleSet.objects.earliest("opens_at")
    return browser.go(f"/c/lantern-street/sets/{tuesday.pk}/2/{query}")


def ended(page: Page) -> None:
    """Wait until nothing moves: a chip stands where the step's frame says."""
    page.wait_for_function(
        """() => { const now = document.querySelector('[data-chip]').getAttribute('transform')
             + document.querySelector('[data-facelet] ~ [data-facelet]').innerHTML;
             const was = window.stood; window.stood = now; return was === now; }""",
        polling=60,
    )


@pytest.mark.parametrize("way", [0, 1])
def test_a_step_by_script_is_drawn_as_the_server_draws_it(
    club_day: Given, member: Membership, open_browser: Opener, way: int
) -> None:
    page = opened(open_browser, member)
    last = len(
        page.locator(f'[data-way="{way}"][data-frames]').get_attribute("data-frames").split()
    )
    for step in [*range(1, last), last - 2]:
        page.locator(f'[data-way="{way}"] [data-step="{step}"]').first.click()
        ended(page)
        by_script = page.evaluate(DRAWN)
        said = page.locator("p[data-said]").text_content()
        sentence = page.locator("[data-sentence]").text_content().split()
        page.reload()
        by_server = page.evaluate(DRAWN)
        wrong = [pair for pair in zip(by_script, by_server, strict=True) if not same(*pair)]
        assert wrong == []
        assert page.locator("p[data-said]").text_content() == said
        assert page.locator("[data-sentence]").text_content().split() == sentence


def test_a_chip_travels_along_its_ring(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    page = opened(open_browser, member, "?way=1&step=0")
    page.emulate_media(reduced_motion="no-preference")
    # Every place of every chip on the way, and how far it is from the middle of its ring.
    far = page.evaluate(
        """() => new Promise((done) => {
          const svg = document.querySelector('.rings');
          const places = [];
          const look = new MutationObserver(() => {
            const ring = svg.querySelector(`[data-ring="${svg.dataset.turned}"]`);
            const [x, y, r] = ['cx', 'cy', 'r'].map((name) => Number(ring.getAttribute(name)));
            for (const [index, chip] of [...svg.querySelectorAll('[data-chip]')].entries()) {
              if (!svg.querySelectorAll('.ring-arc')[index].getAttribute('d')) continue;
              const [cx, cy] = chip.getAttribute('transform').match(/-?[\\d.]+/g).map(Number);
              places.push(Math.abs(Math.hypot(cx - x, cy - y) - r));
            }
          });
          look.observe(svg, {attributes: true, subtree: true, attributeFilter: ['transform']});
          // A picture each 20 ms of a clock of our own, however slow the machine is.
          let time = 0;
          window.requestAnimationFrame = (draw) => setTimeout(() => draw((time += 20)));
          document.querySelector('[data-go="1"]').click();
          setTimeout(() => done(places), 600);
        })"""
    )
    assert len(far) > 4
    assert max(far) < 0.1


def test_it_steps_by_buttons_keys_and_itself_and_tells_what_moved(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    page = opened(open_browser, member)
    steer = page.get_by_role("group", name="Step the cube")
    steer.get_by_role("link", name="Next move").click()
    said, heard = page.locator("p[data-said]"), page.locator("[data-heard]")
    expect(said).to_contain_text("After R'")
    expect(heard).to_contain_text("After R counter-clockwise")
    expect(heard).to_contain_text("yellow facing")
    page.keyboard.press("ArrowRight")
    expect(said).to_contain_text("After L:")
    steer.get_by_role("link", name="Back").click()
    expect(said).to_contain_text("After R'")
    steer.get_by_role("button", name="Play").click()
    expect(steer.get_by_role("button", name="Pause")).to_be_visible()
    expect(said).to_contain_text("After D'", timeout=8000)
    expect(steer.get_by_role("button", name="Play")).to_be_visible()
    trails = page.locator(".trail").first
    expect(trails).to_be_hidden()
    steer.get_by_label("Trails").check()
    expect(page.locator('.trail[d^="M"]').first).to_be_visible()
    again = steer.get_by_role("link", name="Try it from here")
    expect(again).to_have_attribute("href", re.compile(r"way=0&step=4$"))


def test_nothing_moves_where_no_motion_is_wanted(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    page = opened(open_browser, member, "?way=1&step=0")
    page.emulate_media(reduced_motion="reduce")
    changes = page.evaluate(
        """() => new Promise((done) => {
          let count = 0;
          const chip = document.querySelector('.ring-arc ~ [data-chip]');
          const look = new MutationObserver((all) => { count += all.length; });
          for (const one of document.querySelectorAll('[data-chip]'))
            look.observe(one, {attributes: true, attributeFilter: ['transform']});
          document.querySelector('[data-go="1"]').click();
          setTimeout(() => done(count), 500);
        })"""
    )
    assert changes == 4


def test_focus_stays_when_a_waiting_page_turns_into_its_verdict(
    club_day: Given, member: Membership, open_browser: Opener, worker: Worker
) -> None:
    browser = open_browser()
    browser.sign_in(member)
    today = ScrambleSet.objects.latest("opens_at")
    club_day.a_plan(member, today, 1, "D' R'", checked=False)
    page = browser.go(f"/c/lantern-street/sets/{today.pk}/1/")
    link = page.get_by_role("link", name="Plan scramble 2")
    link.focus()
    worker.work()
    expect(page.get_by_role("heading", name="No plan needs fewer")).to_be_visible()
    expect(link).to_be_focused()


@pytest.mark.parametrize(("width", "dark"), [(360, True), (1280, False)])
def test_what_is_drawn_has_no_troubles_before_and_after_a_step(
    club_day: Given, member: Membership, open_browser: Opener, width: int, dark: bool
) -> None:
    browser = open_browser(width=width, dark=dark)
    browser.sign_in(member)
    tuesday = ScrambleSet.objects.earliest("opens_at")
    page = browser.go(f"/c/lantern-street/sets/{tuesday.pk}/2/")
    browser.is_clean()
    page.locator('[data-way="1"] [data-step="2"]').first.click()
    page.get_by_label("Trails").check()
    browser.is_clean()
    browser.go(f"/c/lantern-street/sets/{tuesday.pk}/2/again/?step=1&hint=3&tried=R")
    browser.is_clean()
