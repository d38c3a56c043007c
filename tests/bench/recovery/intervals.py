"""Do intervals of rates hold the true ones as often as they say?

*Pooled* rates of a group, where scrambles differ in difficulty (sd 1 on the
scale of log odds): goal 86-93 % for 90 % intervals, of ten scrambles or more.
Beside them Wilson's, which takes plans as independent. *The rate behind a
rate*: members' true rates are drawn from a Beta distribution, and the posterior
chance of a lower rate is read at each; 90 % of them must lie between .05 and .95.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from tests.bench.recovery.lessons import log_odds_of
from training.pooled import pooled_rate
from training.statistics import Tally, wilson
from training.yardsticks import Spread

SCRAMBLES, MEMBERS, RATES = (10, 15, 20, 40), (5, 12), (0.5, 0.7, 0.85)
GROUPS = 1000
ANSWERS = 0.85
"""How many members of a group plan a scramble."""

SCRAMBLES_SD = 1.0
CLUBS, CLUB_SIZES, SPREADS = 60, (8, 14, 20, 40), ((0.35, 8.0), (0.6, 12.0), (0.75, 20.0))


def pooled_holds(
    source: np.random.Generator, rate: float, scrambles: int, members: int
) -> tuple[bool | None, bool]:
    """Whether the pooled interval and Wilson's hold the true rate; None: no interval."""
    odds = log_odds_of(rate, SCRAMBLES_SD) + source.normal(0, SCRAMBLES_SD, scrambles)
    called = source.binomial(members, ANSWERS, scrambles)
    answered = source.binomial(called, expit(odds))
    pairs = zip(answered.tolist(), called.tolist(), strict=True)
    found = pooled_rate([Tally(*pair) for pair in pairs])
    plain = wilson(int(answered.sum()), int(called.sum()))
    return (
        None if found is None else found.low <= rate <= found.high,
        plain.low <= rate <= plain.high,
    )


def posterior_holds(
    source: np.random.Generator, size: int, rate: float, weight: float
) -> npt.NDArray[np.bool_]:
    """Whether each member's true rate lies within the middle 90 % of its posterior."""
    true = source.beta(weight * rate, weight * (1 - rate), size)
    called = source.integers(5, 41, size)
    answered = source.binomial(called, true)
    tallies = [Tally(*pair) for pair in zip(answered.tolist(), called.tolist(), strict=True)]
    below = np.array(Spread(tuple(tallies)).below(tallies, true.tolist()))
    return np.asarray((below >= 0.05) & (below <= 0.95))


def main() -> None:
    """Simulate and print."""
    source = np.random.default_rng(20261126)
    print(f"Pooled rates, {GROUPS} groups each: interval, Wilson's, without an interval")
    for rate in RATES:
        for scrambles in SCRAMBLES:
            for members in MEMBERS:
                found = [pooled_holds(source, rate, scrambles, members) for _ in range(GROUPS)]
                held = [ours for ours, _ in found if ours is not None]
                plain = sum(other for _, other in found) / GROUPS
                print(
                    f"  rate {rate}, {scrambles} scrambles, {members:>2} members: "
                    f"{sum(held) / len(held):.1%}  {plain:.1%}  {1 - len(held) / GROUPS:.1%}",
                    flush=True,
                )
    every = [
        np.concatenate([posterior_holds(source, size, *spread) for _ in range(CLUBS)]).mean()
        for size in CLUB_SIZES
        for spread in SPREADS
    ]
    print(f"The rate behind a rate, {CLUBS} clubs of each of {len(every)} makings: ", end="")
    print(f"{np.mean(every):.1%} held, {min(every):.1%} to {max(every):.1%}")
