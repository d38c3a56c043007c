"""With the Tab key alone: everything is met, in the order in which it stands, and seen to be met.

WCAG 2.2: 2.1.2 no keyboard trap, 2.4.1 bypass blocks, 2.4.3 focus order, 2.4.7 focus visible.
"""

from __future__ import annotations

import pytest

from tests.browser.conftest import Opener
from tests.conftest import Given
from training.models import Membership, ScrambleSet

MET = """
() => {
  const here = document.activeElement;
  if (!here || here === document.body) return null;
  const all = [...document.querySelectorAll("*")];
  // A step of the staircase is framed by the line of its own area instead of an outline.
  const drawn = (one) => {
    const style = getComputedStyle(one);
    const outline = style.outlineStyle === "none" ? 0 : parseFloat(style.outlineWidth);
    return Math.max(outline, style.stroke === "none" ? 0 : parseFloat(style.strokeWidth));
  };
  const box = here.getBoundingClientRect();
  return {
    place: all.indexOf(here),
    tag: here.tagName,
    outline: Math.max(drawn(here), ...[...here.querySelectorAll("rect")].map(drawn)),
    text: here.textContent.trim(),
    seen: box.width > 0 && box.height > 0,
  };
}
"""
CAN_BE_MET = """
() => {
  const all = [...document.querySelectorAll("*")];
  return [...document.querySelectorAll("a[href], button, input, select, textarea, summary")]
    .filter((one) => !one.disabled && one.type !== "hidden" && one.checkVisibility())
    .map((one) => [all.indexOf(one), one.type === "radio"]);
}
"""


@pytest.mark.parametrize("width", [360, 1280])
def test_tab_meets_everything_in_order_and_comes_out_again(
    width: int, club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser(width=width)
    browser.sign_in(member)
    tuesday, today = ScrambleSet.objects.daily().order_by("opens_at")
    for path in ("today/", f"sets/{today.pk}/1/", f"sets/{tuesday.pk}/2/", "progress/", "table/"):
        page = browser.go(f"/c/lantern-street/{path}")
        browser.settle()
        there = page.evaluate(CAN_BE_MET)
        met = []
        for _ in range(len(there) + 9):
            page.keyboard.press("Tab")
            here = page.evaluate(MET)
            if here is None or (met and here["place"] == met[0]["place"]):
                break
            met.append(here)
        else:
            pytest.fail(f"{path}: there is no way out")
        assert met[0]["text"] == "Skip to the page", path
        places = [one["place"] for one in met]
        assert places == sorted(set(places)), f"{path}: out of order, or met twice"
        assert all(one["seen"] for one in met), path
        assert [one for one in met if one["outline"] < 2] == [], path
        # One radio button of a group is met for all of them.
        assert {place for place, is_radio in there if not is_radio} <= set(places), path
