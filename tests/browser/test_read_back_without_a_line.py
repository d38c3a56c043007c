"""What a device reads of a plan without a line is what the site reads of it, or nothing.

The other side is our own parser and the holds of :mod:`solverworker.cube` (their sources: WCA
articles 12a and E2c4 of January 1, 2024).
"""

from __future__ import annotations

import random

from solverworker.cube.first_hold import HOLDS_BY_COLOURS, held_at
from tests.browser.attempted import at_scramble, on_a_phone
from tests.browser.conftest import Opener
from tests.conftest import Given
from training.entry import Entry
from training.models import Membership
from training.rules import Held
from training.web.saying.holds import hold_words

READ = """(drafts) => {
  const form = document.querySelector("form[data-draft]");
  const here = form.querySelector("[data-here]");
  return drafts.map((draft) => {
    const detail = { draft, read: false, goesIn: true };
    form.dispatchEvent(new CustomEvent("read-here", { detail }));
    const said = here.querySelector("[data-said]").textContent;
    return [detail.read, here.querySelector("[data-moves-read]").textContent, said];
  });
}"""

ODD = (
    *("R2'", "(R U)", "r u", "R3", "2Rw R", "R // why", "R'2", "R 2", "Mw", "R’", "RUR'U'", "Q"),
    *("xy", "R22", "R U x", "", " ", "R''", "R2w", "R-U", "R\nU2", "R\u00a0U", "x2 y' z", "Rw2M'"),
)


def a_plan(luck: random.Random) -> str:
    """Moves of every kind, run together or not."""
    families = ["U", "R", "F", "D", "L", "B", "Uw", "Rw", "Fw", "Dw", "Lw", "Bw", *"MESxyz"]
    moves = [luck.choice(families) + luck.choice(["", "2", "'"]) for _ in range(luck.randint(1, 9))]
    return luck.choice(["", " ", "  "]).join(moves)


def test_a_device_reads_a_plan_as_the_site_does_or_leaves_it_to_the_site(
    club_day: Given, member: Membership, open_browser: Opener
) -> None:
    a_set = club_day.a_set(kind="club_night", held=Held.FREE)
    scramble = a_set.scrambles.get(number=1).text
    luck = random.Random(8)
    holds = sorted(HOLDS_BY_COLOURS)
    entries = [Entry(text) for text in ODD] + [
        Entry(a_plan(luck), held=luck.choice(["", " ".join(luck.choice(holds))]))
        for _ in range(400)
    ]
    page = at_scramble(on_a_phone(open_browser, member), a_set, step="write/")
    drafts = [
        {
            "plan": one.written,
            "top": one.held.partition(" ")[0],
            "front": one.held.partition(" ")[2],
        }
        for one in entries
    ]
    left = 0
    for one, (read, moves, said) in zip(entries, page.evaluate(READ, drafts), strict=True):
        if not read:
            left += 1
            continue
        known = one.read(strict=False, freely_from=scramble)
        hold = held_at(scramble, known.canonical)
        assert moves == known.canonical.removeprefix(known.turned).strip()
        after = f", after {hold.after}" if hold.after and not known.turned else ""
        assert said == (
            f"Moves that count: {known.moves}. You start with {hold_words(hold.first)}{after}. "
            f"You end with {hold_words(hold.last)}. Once handed in it is final."
        )
    # Nothing of the usual spelling is left, and of the odd ones nothing that the site refuses.
    assert left == sum(1 for one in ODD if one not in UNDERSTOOD)


UNDERSTOOD = {"R’", "RUR'U'", "xy", "R U x", "R\nU2", "R\u00a0U", "x2 y' z", "Rw2M'"}
