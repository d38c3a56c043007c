"""Is anybody flagged among members who are alike, and is the one who is not?

Members answer three ideas with a rate of .85 against a target of .70, or with
rates spread as Beta(8, 2). Sixty plans in eight weeks; an idea is called for as
often as random crosses do at their start. Goals: over 26 weekly looks somebody
is flagged in 5 % of clubs of 5, 12 or 30 equals at most; after 60 plans one
member at .4 is flagged among them in 80, 65 and 30 % of clubs at least, and in
85 % where the others are spread.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
import numpy.typing as npt

from training.looks import WEEKS
from training.statistics import Tally
from training.yardsticks import Flag, readings, standing

SIZES = (5, 12, 30)
LOOKS = 26
CLUBS = 400
CALLED = {"relative_build": 0.41, "base_turn": 0.50, "shared_turn": 0.54}
"""The share of random crosses that call for an idea at the start."""

RATE, TARGET, LOW = 0.85, 0.70, 0.4
SPREAD = (8.0, 2.0)
PLANS = 60
LAST_WEEK = 8
"""Of 60 plans in eight weeks those that the look of a week earlier had not seen."""

Counts = npt.NDArray[np.int64]


def _tallies(answered: Counts, called: Counts) -> list[Tally]:
    return [Tally(*pair) for pair in zip(answered.tolist(), called.tolist(), strict=True)]


def _read(answered: Counts, called: Counts) -> list[Flag]:
    """What one look says of each member.

    Reading costs milliseconds: where everybody's own rate reaches the target,
    in a group that does too, nobody is likely to be below it, and none is asked.
    """
    if (answered >= TARGET * called).all():
        return [Flag.UNKNOWN] * len(called)
    return [one.flag for one in readings(_tallies(answered, called), TARGET)]


def flags_over_looks(answered: Counts, called: Counts) -> list[list[Flag]]:
    """The flags that stand at each weekly look, given counts by week and member."""
    before = [Flag.UNKNOWN] * called.shape[1]
    found = []
    for week in range(WEEKS, len(called) + 1):
        seen = slice(week - WEEKS, week)
        last = _read(answered[seen].sum(0), called[seen].sum(0))
        found.append([standing(*pair) for pair in zip(last, before, strict=True)])
        before = last
    return found


def a_flag_among_equals(source: np.random.Generator, size: int) -> bool:
    """Whether any of a club of equals is ever said to need work, on any idea."""
    for share in CALLED.values():
        # Sevens and eights: 7.5 plans a week.
        plans = np.resize([7, 8], LOOKS + WEEKS - 1)[:, None]
        called = source.binomial(plans, share, (len(plans), size))
        answered = source.binomial(called, RATE)
        for look in flags_over_looks(answered, called):
            if Flag.NEEDS_WORK in look:
                return True
    return False


def finds(source: np.random.Generator, size: int, *, spread: bool, low: float = LOW) -> bool:
    """Whether the first of a club, whose rate is low, is flagged after 60 plans."""
    rates = source.beta(*SPREAD, size) if spread else np.full(size, RATE)
    rates[0] = low
    share = CALLED["base_turn"]
    called = source.binomial([[PLANS - LAST_WEEK], [LAST_WEEK]], share, (2, size))
    answered = source.binomial(called, rates)
    before = readings(_tallies(answered[0], called[0]), TARGET)[0].flag
    last = readings(_tallies(answered.sum(0), called.sum(0)), TARGET)[0].flag
    return standing(last, before) is Flag.NEEDS_WORK


def main() -> None:
    """Simulate and print."""
    source = np.random.default_rng(20261126)
    print(f"{f'{CLUBS} clubs each, of':<36}" + "".join(f"{size:>8}" for size in SIZES))
    _row(
        f"somebody flagged in {LOOKS} looks",
        lambda size: a_flag_among_equals(source, size),
    )
    for low in (LOW, 0.5):
        for spread in (False, True):
            among = f"Beta{SPREAD}" if spread else f"{RATE}"
            _row(f"{low} flagged among {among}", partial(_finds, source, spread, low))


def _finds(source: np.random.Generator, spread: bool, low: float, size: int) -> bool:
    return finds(source, size, spread=spread, low=low)


def _row(name: str, trial: Callable[[int], bool]) -> None:
    shares = [sum(trial(size) for _ in range(CLUBS)) / CLUBS for size in SIZES]
    print(f"{name:<36}" + "".join(f"{share:>8.1%}" for share in shares), flush=True)
