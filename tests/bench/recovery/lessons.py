"""Is "likely better since the lesson" said where something changed, and only there?

Members of a club plan the same scrambles, a set of five a week; three ideas, each called
for by half of the scrambles. Scrambles differ in difficulty, each idea on its own
(sd 1 on the scale of log odds), members too (sd .5). The lesson is on whatever
looked worst in six months, a month at a time; eight weeks before and after it
are compared, 40 plans each. Goals: said in 5 % of clubs at most where nothing
changed; where .4 became .7 in 70 % with 12 members and 50 % with 5.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache

import numpy as np
import numpy.typing as npt
from scipy.optimize import brentq
from scipy.special import expit

from training.lesson_effect import Answer, LessonChange, LessonSaid, change_of

IDEAS = 3
A_MONTH, LOOKED_AT, COMPARED = 20, 6, 2
"""Plans in four weeks; months that the coach looks back on; months before and after."""

A_SET = 5
SCRAMBLES_IN = dict.fromkeys(range((COMPARED + LOOKED_AT + COMPARED) * A_MONTH // A_SET), A_SET)

CALLED = 0.5
SCRAMBLES_SD, MEMBERS_SD = 1.0, 0.5
CLUBS = 300
SIZES = (2, 5, 12)
BETTER = 0.7
"""What a rate becomes where the lesson helps."""

_NODES, _SHARES = np.polynomial.hermite_e.hermegauss(40)


@cache
def log_odds_of(rate: float, spread: float) -> float:
    """The middle of log odds that, spread normally about it, come to a rate in the mean."""

    def off(middle: float) -> float:
        return float(expit(middle + spread * _NODES) @ _SHARES / _SHARES.sum() - rate)

    return float(brentq(off, -6, 6))


def log_odds(rate: float) -> float:
    """The same, with both scrambles and members about it."""
    return log_odds_of(rate, float(np.hypot(SCRAMBLES_SD, MEMBERS_SD)))


def said(
    source: np.random.Generator,
    members: int,
    rates: tuple[float, ...],
    *,
    better: float | None = None,
    growth: float = 0.0,
    with_the_month: bool = False,
) -> LessonSaid:
    """What is said of one lesson in one club.

    ``rates``: of the ideas; ``better``: what the taught one's becomes; None:
    nothing changes, and it is the idea and the month that looked worst.
    ``growth``: how far all log odds rise between the windows. ``with_the_month``:
    the month that made the coach choose belongs to the weeks before.
    """
    months = COMPARED + LOOKED_AT + COMPARED
    plans = months * A_MONTH
    middle = np.array([log_odds(rate) for rate in rates])
    odds = (
        middle[:, None, None]
        + source.normal(0, MEMBERS_SD, (IDEAS, members, 1))
        + source.normal(0, SCRAMBLES_SD, (IDEAS, 1, plans))
    )
    called = np.broadcast_to(source.random((IDEAS, 1, plans)) < CALLED, odds.shape)
    chance = source.random(odds.shape)
    good = chance < expit(odds)
    worst = _by_month(good & called) / np.maximum(1, _by_month(called))
    looked = worst[:, COMPARED : COMPARED + LOOKED_AT]
    if better is None:
        idea, month = np.unravel_index(int(looked.argmin()), looked.shape)
    else:
        idea, month = np.int64(0), looked[0].argmin()
    shown = (COMPARED + int(month)) * A_MONTH
    risen = odds + growth
    if better is not None:
        risen[idea] += log_odds(better) - middle[idea]
    good[:, :, shown + A_MONTH :] = (chance < expit(risen))[:, :, shown + A_MONTH :]
    until = shown + A_MONTH if with_the_month else shown
    before = range(until - COMPARED * A_MONTH, until)
    after = range(shown + A_MONTH, shown + A_MONTH + COMPARED * A_MONTH)
    found = change_of(by_set(_answers(good, called, int(idea), before, after)), SCRAMBLES_IN)
    return found.said if isinstance(found, LessonChange) else found


def by_set(answers: Iterable[Answer]) -> list[Answer]:
    """Answers to scrambles added up by set, as the site keeps them."""
    found: dict[Answer, list[int]] = defaultdict(lambda: [0, 0])
    for one in answers:
        kept = found[one._replace(part=one.part // A_SET, good=0, of=0)]
        kept[0] += one.good
        kept[1] += one.of
    return [key._replace(good=good, of=of) for key, (good, of) in found.items()]


def _by_month(some: npt.NDArray[np.bool_]) -> npt.NDArray[np.int64]:
    """How many of each idea, by month, of all members."""
    by_plan = some.sum(1)
    return np.asarray(by_plan.reshape(IDEAS, -1, A_MONTH).sum(2))


def _answers(
    good: npt.NDArray[np.bool_],
    called: npt.NDArray[np.bool_],
    taught: int,
    before: range,
    after: range,
) -> Iterator[Answer]:
    for window in (before, after):
        part = slice(window.start, window.stop)
        for idea, member, plan in np.argwhere(called[:, :, part]).tolist():
            yield Answer(
                member=member,
                about=str(idea),
                part=window.start + plan,
                after=window is after,
                taught=idea == taught,
                good=bool(good[idea, member, window.start + plan]),
            )


def main() -> None:
    """Simulate and print."""
    source = np.random.default_rng(20261126)
    print(f"Said to be better, {CLUBS} clubs each, of" + "".join(f"{n:>7}" for n in SIZES))
    alike, apart = (0.6, 0.6, 0.6), (0.4, 0.7, 0.8)
    for name, rates, how in (
        ("nothing changed", alike, {}),
        ("nothing changed, other rates", apart, {}),
        ("the same, with the worst month", alike, {"with_the_month": True}),
        ("everything grew alike", alike, {"growth": 0.7}),
        ("everything grew, other rates", apart, {"growth": 0.7}),
        (f"{apart[0]} became {BETTER}", apart, {"better": BETTER}),
    ):
        shares = [
            sum(said(source, size, rates, **how) is LessonSaid.BETTER for _ in range(CLUBS)) / CLUBS  # type: ignore[arg-type]
            for size in SIZES
        ]
        print(f"{name:<41}" + "".join(f"{share:>7.1%}" for share in shares), flush=True)
