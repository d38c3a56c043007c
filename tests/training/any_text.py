"""Makes texts that somebody, or something, might send as a plan, and holds the reader to its word.

Three kinds in turn: letters from everywhere, letters that moves are made of, and a plan in good
spelling with a few places changed. Seeded, so that a text that breaks something comes again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from random import Random

from training.entry import MOST_CHARACTERS, read_plan
from training.refusals import Refusal

FAMILIES = (*"URFDLB", *(face + "w" for face in "URFDLB"), *"MESxyz")
NEARLY = "URFDLBurfdlbMESxyzXw0234'’‘′ʼ`´()[]{}/ \n\t\r,.-"
EVERYWHERE = ((0, 0x7F), (0x80, 0x2FF), (0x2000, 0x206F), (0xD7F0, 0xE010), (0xFF00, 0xFFEF))


def texts(count: int, seed: int) -> Iterator[str]:
    """Give ``count`` texts, the same ones for the same seed."""
    random = Random(seed)
    kinds = (_anything, _nearly, _mutated)
    for number in range(count):
        yield kinds[number % len(kinds)](random)


def read_all(count: int, seed: int) -> Counter[str]:
    """Read each text in both spellings; how often each outcome came.

    Raises whatever is no refusal of the reader's, and AssertionError for a reading that does
    not read back to itself or a refusal whose place lies outside the text.
    """
    outcomes: Counter[str] = Counter()
    for text in texts(count, seed):
        for strict in (False, True):
            outcomes[_outcome(text, strict)] += 1
    return outcomes


def _outcome(text: str, strict: bool) -> str:
    refused: Refusal | None = None
    try:
        plan = read_plan(text, strict=strict)
    except Refusal as refusal:
        refused = refusal
    if refused is not None:
        at = refused.extras.get("position", 0)
        assert 0 <= at < max(1, len(text)) or at == MOST_CHARACTERS, (text, at)
        assert refused.message, text
        return type(refused).__name__
    again = read_plan(plan.canonical, strict=False)
    assert (again.canonical, again.moves) == (plan.canonical, plan.moves), text
    return "read"


def _letter(random: Random) -> str:
    first, last = random.choice(EVERYWHERE)
    return chr(random.randint(first, last))


def _anything(random: Random) -> str:
    return "".join(_letter(random) for _ in range(random.randint(0, 60)))


def _nearly(random: Random) -> str:
    most = 3000 if random.random() < 0.01 else 60
    return "".join(random.choices(NEARLY, k=random.randint(0, most)))


def _mutated(random: Random) -> str:
    moves = random.choices(FAMILIES, k=random.randint(0, 30))
    plan = list(" ".join(move + random.choice(("", "'", "2")) for move in moves))
    for _ in range(random.randint(0, 4)):
        at = random.randint(0, len(plan))
        change = random.randrange(4)
        letter = random.choice(NEARLY) if random.random() < 0.7 else _letter(random)
        if change == 0:
            plan.insert(at, letter)
        elif change == 1 and plan:
            del plan[min(at, len(plan) - 1)]
        elif change == 2 and plan:
            plan[min(at, len(plan) - 1)] = letter
        else:
            plan[at:at] = plan[: random.randint(0, 12)]
    return "".join(plan)
