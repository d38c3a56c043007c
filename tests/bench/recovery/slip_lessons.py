"""Is "trace it twice" said to have helped where it did, and only there?

Members of a club plan the same scrambles, a set of five a week, and slip in some
of their plans; scrambles differ in how easily one slips (sd 1 on the scale of log
odds), members too (sd .5). The lesson is held after the month in which the group
slipped most of six, for the half that slipped most in it; the other half was
not taught. Eight weeks before that month and after it are compared, 40 plans
each. Goal: said in 5 % of clubs at most where nothing changed.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from tests.bench.recovery.lessons import (
    A_MONTH,
    CLUBS,
    COMPARED,
    LOOKED_AT,
    MEMBERS_SD,
    SCRAMBLES_IN,
    SCRAMBLES_SD,
    by_set,
    log_odds,
)
from training.lesson_effect import Answer, LessonChange, LessonSaid, change_of

SIZES = (4, 10, 24)
OFTEN, SELDOM = 0.4, 0.15
"""How many plans have the slip, and how many where tracing twice helps."""


def said(
    source: np.random.Generator,
    members: int,
    *,
    helped: bool = False,
    growth: float = 0.0,
    by_chance: bool = False,
) -> LessonSaid:
    """What is said of one lesson on a slip in one club.

    ``helped``: those taught slip less from then on; ``growth``: how far all log
    odds fall between the windows; ``by_chance``: who was taught is drawn.
    """
    plans = (COMPARED + LOOKED_AT + COMPARED) * A_MONTH
    odds = (
        log_odds(OFTEN)
        + source.normal(0, MEMBERS_SD, (members, 1))
        + source.normal(0, SCRAMBLES_SD, plans)
    )
    chance = source.random(odds.shape)
    slips = chance < expit(odds)
    by_month = slips.reshape(members, -1, A_MONTH).sum(2)
    month = COMPARED + int(by_month[:, COMPARED : COMPARED + LOOKED_AT].sum(0).argmax())
    worst = source.permutation(members) if by_chance else by_month[:, month].argsort()[::-1]
    taught = np.isin(np.arange(members), worst[: members // 2])
    until, since = month * A_MONTH, (month + 1) * A_MONTH
    fallen = odds - growth
    if helped:
        fallen[taught] += log_odds(SELDOM) - log_odds(OFTEN)
    slips[:, since:] = (chance < expit(fallen))[:, since:]
    windows = (
        range(until - COMPARED * A_MONTH, until),
        range(since, since + COMPARED * A_MONTH),
    )
    found = change_of(by_set(_answers(slips, taught, windows)), SCRAMBLES_IN)
    return found.said if isinstance(found, LessonChange) else found


def _answers(
    slips: npt.NDArray[np.bool_], taught: npt.NDArray[np.bool_], windows: tuple[range, range]
) -> list[Answer]:
    return [
        Answer(member, "slip", plan, late, bool(taught[member]), not slips[member, plan])
        for late, window in zip((False, True), windows, strict=True)
        for member in range(len(taught))
        for plan in window
    ]


def main() -> None:
    """Simulate and print."""
    source = np.random.default_rng(20261126)
    print(f"Said to be better, {CLUBS} clubs each, of" + "".join(f"{n:>7}" for n in SIZES))
    for name, how in (
        ("nothing changed, the worse half taught", {}),
        ("nothing changed, half taught by chance", {"by_chance": True}),
        ("everybody slipped less", {"growth": 0.7}),
        (f"{OFTEN} became {SELDOM}", {"helped": True}),
    ):
        shares = [
            sum(said(source, size, **how) is LessonSaid.BETTER for _ in range(CLUBS)) / CLUBS  # type: ignore[arg-type]
            for size in SIZES
        ]
        print(f"{name:<41}" + "".join(f"{share:>7.1%}" for share in shares), flush=True)
