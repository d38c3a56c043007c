"""Every page, by day and by night: axe finds nothing, and the console is silent.

Nothing is wider than the window, not even at text of twice the size.
"""

from __future__ import annotations

from datetime import timedelta

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

from tests.browser import pages
from tests.browser.conftest import HEIGHT, Opener, Watched
from tests.conftest import NOON, Given, make_membership
from tests.training.challenged import in_each_state
from training.models import (
    Challenge,
    Club,
    Membership,
    Plan,
    PublicAddress,
    Role,
    ScrambleSet,
    Season,
    Standing,
)
from training.services import accounts, people
from training.services.posting import publish

PHONES = (320, 360)
SIDEWAYS = """() => [...document.querySelectorAll('*')]
  .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.querySelector('table'))
  .filter((one) => ['auto', 'scroll'].includes(getComputedStyle(one).overflowX))
  .map((one) => one.getAttribute('aria-label') || one.getAttribute('aria-labelledby'))
"""
"""What has a table in it that is read by scrolling sideways."""

LOOKS = [(360, False), (360, True), (1280, True), (1280, False)]
"""At each width the first is looked at for everything, the other for its colours."""

CUT_WORDS = """() => [...document.querySelectorAll('select:not([name=time_zone])')]
  .filter((one) => one.offsetParent)
  .flatMap((one) => {
    const style = getComputedStyle(one);
    const paper = document.createElement('canvas').getContext('2d');
    paper.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    // 20 px for the arrow.
    const beside = parseFloat(style.paddingLeft) + parseFloat(style.paddingRight) + 20;
    return [...one.options].map((option) => option.text)
      .filter((text) => paper.measureText(text).width > one.clientWidth - beside);
  })
"""
"""What a closed list of choices cannot show whole. A time zone has the name that it has."""

TOUCHING = """() => {
  const rects = (cell) => {
    const all = document.createRange();
    all.selectNodeContents(cell);
    return [...all.getClientRects()].filter((one) => one.width > 1);
  };
  const beside = (a, b) =>
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 4
    && b.left >= a.left && b.left - a.right < 2;
  return [...document.querySelectorAll('thead tr')].flatMap((line) => {
    const cells = [...line.children];
    return cells.slice(1)
      .filter((cell, n) => rects(cells[n]).some((a) => rects(cell).some((b) => beside(a, b))))
      .map((cell) => cell.textContent.trim());
  });
}
"""
"""Headings of a table between which no space is left."""

TWICE_AS_LARGE = """
async () => {
  document.documentElement.style.fontSize = "200%";
  // What depends on the room there is comes with the next picture.
  for (let n = 0; n < 2; n += 1) await new Promise((drawn) => requestAnimationFrame(drawn));
  const wide = document.documentElement.scrollWidth;
  document.documentElement.style.fontSize = "";
  return wide;
}
"""
"""How wide a page is with text of twice the size (WCAG 2.2, 1.4.4), in px."""


def things_of(
    club: Club, coach: Membership, member: Membership, challenges: dict[str, Challenge]
) -> pages.Things:
    """What the addresses are about, in the club's day."""
    tuesday, today = ScrambleSet.objects.daily().order_by("opens_at")
    plans = list(Plan.objects.filter(scramble__scramble_set__kind="daily").order_by("pk"))
    return {
        "club": club.slug,
        "today": today.pk,
        "tuesday": tuesday.pk,
        **{word: number for number, word in enumerate(("one", "two", "three", "four"), start=1)},
        "yesterday": (NOON - timedelta(days=1)).date(),
        "the_day": NOON.date(),
        "friday": (NOON + timedelta(days=2)).date(),
        "a_plan": plans[3].pk,
        "no_plan": plans[4].pk,
        "member": member.pk,
        "series": club.first_series.pk,
        "a_technique": "base_turn",
        "a_habit": "undone_moves",
        "a_problem": "set_closed",
        "invite": people.make_invite(by=coach)[1],
        "nothing": "nothing",
        **{name: one.pk for name, one in challenges.items()},
        "season": Season.objects.get().pk,
        "secret": PublicAddress.objects.get().secret,
        "owner_link": people.make_owner_link(base_url="").split("/")[-2],
    }


def test_pages_are_clean_and_fit(
    club_day: Given,
    club: Club,
    coach: Membership,
    member: Membership,
    open_browser: Opener,
) -> None:
    """Each is asked for once, and looked at in all four looks."""
    child = make_membership(club, "Solveig", standing=Standing.CONSENT, under_18=True)
    archived = make_membership(club, "Arvid", standing=Standing.ARCHIVED)
    newcomer = make_membership(club, "Noa", standing=Standing.WAITING)
    owner = make_membership(club, "Odd", Role.OWNER)
    withdrawn = make_membership(club, "Liv", standing=Standing.CONSENT, under_18=True)
    accounts.note_consent(by=coach, membership=withdrawn, note="father, signed form")
    accounts.withdraw_consent(by=coach, membership=withdrawn)
    second = make_membership(club, "Eskil")
    challenges = in_each_state(Given(club), coach, member, second)
    publish(club=club, by=owner, now=NOON)
    things = things_of(club, coach, member, challenges)
    groups = [
        (None, pages.SIGNED_OUT),
        (member, pages.OF_MEMBER),
        (coach, pages.OF_COACH),
        (owner, pages.OF_OWNER),
        (child, pages.OF_CHILD),
        (archived, pages.OF_ARCHIVED),
        (newcomer, pages.OF_NEWCOMER),
        (withdrawn, pages.OF_CONSENT_WITHDRAWN),
    ]
    assert [one for _, group in groups for one in group] == list(pages.LISTED)
    troubles: list[str] = []
    for who, group in groups:
        browser = open_browser(*LOOKS[0])
        browser.page.add_init_script(AXE_SCRIPT)
        if who is not None:
            browser.sign_in(who)
        for one in group:
            answer = browser.page.goto(browser.base + one.path(things))
            assert answer is not None
            if answer.status != one.status:
                troubles.append(f"{one.label} is answered with {answer.status}")
            if one.status >= 400:
                # The console notes the status itself, as it should.
                browser.complaints.clear()
            troubles += _in_every_look(browser, one.label)
    assert not troubles, "\n".join(troubles)


def _in_every_look(browser: Watched, label: str) -> list[str]:
    """What there is to say against a page; it stands in the first look before and after."""
    troubles: list[str] = []
    widths: set[int] = set()
    for width, dark in LOOKS:
        browser.wear(width, dark)
        if width in widths:
            browser.take_picture()
            troubles += browser.contrast()
            continue
        widths.add(width)
        troubles += browser.troubles()
        for narrow in PHONES if width in PHONES else (width,):
            troubles += _too_wide(browser.page, label, narrow)
        large = browser.page.evaluate(TWICE_AS_LARGE)
        if large > width:
            troubles.append(f"{label} is {large} wide at 200 % text, {width} px")
    browser.wear(*LOOKS[0])
    return troubles


def _too_wide(page: Page, label: str, width: int) -> list[str]:
    """What of a page is read by scrolling sideways: all of it, or a table."""
    page.set_viewport_size({"width": width, "height": HEIGHT})
    wide = page.evaluate("document.documentElement.scrollWidth")
    troubles = [f"{label} is {wide} wide at {width}"] if wide > width else []
    if width in PHONES and label not in pages.SCROLL_SIDEWAYS:
        found = page.evaluate(SIDEWAYS)
        troubles += [f"{label}: {one} scrolls sideways at {width}" for one in found]
    for said, look in (("is cut", CUT_WORDS), ("touches the heading before it", TOUCHING)):
        troubles += [f"{label}: “{one}” {said} at {width}" for one in page.evaluate(look)]
    return troubles
