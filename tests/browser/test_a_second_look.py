"""Trying again from a lost move by keyboard alone, with hints; by the keys on a phone. Ours."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.attempted import on_a_phone
from tests.browser.conftest import Opener
from tests.conftest import Given
from training.models import Membership, ScrambleSet, SecondLook

FOCUSED = """() => {
  const one = document.activeElement;
  return one.labels?.length ? one.labels[0].textContent.trim() : one.textContent.trim();
}"""
KEPT = "Object.keys(localStorage).filter((key) => key.startsWith('again:'))"


def tab_to(page: Page, name: str) -> None:
    """Press the tabulator until what has this name is in focus, as nobody does with a mouse."""
    for _press in range(120):
        if page.evaluate(FOCUSED) == name:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{name} is not reached by keyboard")


def lost_two(given: Given, member: Membership) -> str:
    """Scramble 1 is `R D`; the plan loses two with its second move. Where its verdict is."""
    today = ScrambleSet.objects.latest("opens_at")
    given.a_plan(member, today, 1, "D' L L' R'")
    return f"/c/lantern-street/sets/{today.pk}/1/"


def test_from_a_lost_move_to_found_on_the_second_look_by_keyboard_alone(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = open_browser()
    browser.sign_in(member)
    page = browser.go(lost_two(club_day, member))
    tab_to(page, "Try again from move 2")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Try again from move 2")).to_be_visible()
    tab_to(page, "Write on from here")
    page.keyboard.type("U")
    # What is typed outlasts a hint, which is another page.
    tab_to(page, "A hint: which idea")
    page.keyboard.press("Enter")
    expect(page.get_by_role("link", name="One more hint: which edge")).to_be_visible()
    field = page.get_by_label("Write on from here")
    expect(field).to_have_value("U")
    tab_to(page, "Write on from here")
    page.keyboard.press("Enter")
    expect(page.get_by_text("U loses 1 move here.")).to_be_visible()
    expect(field).to_have_value("")
    tab_to(page, "One more hint: which edge")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Look at the", exact=False)).to_be_visible()
    tab_to(page, "Write on from here")
    page.keyboard.type("R'")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Found: R' solves it from here in 1 move")).to_be_visible()
    assert page.evaluate(KEPT) == []
    browser.is_clean()
    tab_to(page, "Back to the verdict")
    page.keyboard.press("Enter")
    found = "Found on the second look, from move 2: R' (2 hints)."
    expect(page.get_by_text(found)).to_be_visible()
    row = SecondLook.objects.get()
    assert (row.place, row.moves, row.hints) == (1, "R'", 2)


def test_a_plan_with_its_forgotten_rotation_is_stepped_by_keyboard_alone(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    today = ScrambleSet.objects.latest("opens_at")
    club_day.a_plan(member, today, 1, "U' L'")
    browser = open_browser()
    browser.sign_in(member)
    page = browser.go(f"/c/lantern-street/sets/{today.pk}/1/")
    expect(page.get_by_role("heading", name="With z2 first, this plan solves in 2")).to_be_visible()
    expect(page.get_by_role("heading", name="Move by move")).to_be_hidden()
    browser.is_clean()
    said, sentence = page.locator("p[data-said]"), page.locator("[data-sentence]")
    tab_to(page, "Next move")
    page.keyboard.press("ArrowRight")
    expect(said).to_have_text("After z2: 2 moves left")
    expect(sentence).to_contain_text("turns the cube, costs nothing")
    page.keyboard.press("Enter")
    expect(said).to_have_text("After U': 1 move left")
    page.keyboard.press("ArrowRight")
    expect(said).to_have_text("After L': solved")
    page.keyboard.press("ArrowLeft")
    expect(said).to_have_text("After U': 1 move left")
    tab_to(page, "As it was read")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Move by move")).to_be_visible()


def test_on_a_phone_the_keys_write_and_signing_out_leaves_nothing(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = on_a_phone(open_browser, member)
    at = lost_two(club_day, member)
    page = browser.go(f"{at}again/?step=1")
    keys = page.get_by_role("group", name="Move keys")
    keys.get_by_role("button", name="R", exact=True).click()
    keys.get_by_role("button", name="prime, anticlockwise").click()
    field = page.get_by_label("Write on from here")
    expect(field).to_have_value("R'")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    browser.is_clean()
    page.reload()
    expect(field).to_have_value("R'")
    # Typed here, it is none of another place.
    page = browser.go(f"{at}again/?step=0")
    expect(field).to_have_value("")
    assert len(page.evaluate(KEPT)) == 1
    page.evaluate("document.querySelector('form[data-signs-out]').requestSubmit()")
    expect(page.locator("form[data-signs-out]")).to_have_count(0)
    assert page.evaluate(KEPT) == []


def test_what_is_tried_without_a_line_is_tried_when_it_is_back(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    browser = on_a_phone(open_browser, member)
    page = browser.go(f"{lost_two(club_day, member)}again/?step=1&hint=1")
    page.context.set_offline(True)
    page.get_by_label("Write on from here").fill("R'")
    page.get_by_role("button", name="Try it").click()
    expect(page.get_by_text("waits here and is tried when it is back")).to_be_visible()
    assert not SecondLook.objects.exists()
    page.context.set_offline(False)
    expect(page.get_by_text("Found: R' solves it from here in 1 move")).to_be_visible()
    expect(page.get_by_text("Kept as found on the second look.")).to_be_visible()
    row = SecondLook.objects.get()
    # With the hints that stood there when it was written, and none twice.
    assert (row.place, row.moves, row.hints) == (1, "R'", 1)
    assert page.evaluate(KEPT) == []
