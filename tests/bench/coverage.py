"""Do the intervals cover what they say? Members' true rates are drawn from a Beta distribution.

    python -m tests.bench.coverage

For clubs of several sizes: true rates from Beta(Mg, M(1 - g)), 5 to 40
opportunities a member, the prior fitted to what the club shows. Reports how
often the 90 % posterior interval holds the true rate (goal 88-92 %, averaged
over draws), and the same of Wilson's interval, which makes no use of the group.
"""

from __future__ import annotations

import numpy as np

from training.statistics import Tally, posterior_interval, priors, wilson

CLUBS = (8, 14, 20, 40)
DRAWS = 60
GROUPS = ((0.35, 8.0), (0.6, 12.0), (0.75, 20.0))


def main() -> None:
    source = np.random.default_rng(20261125)
    print(f"{'members':>8} {'group':>6} {'weight':>7} {'posterior':>10} {'Wilson':>8}")
    totals = np.zeros(3)
    for size in CLUBS:
        for rate, weight in GROUPS:
            held = np.zeros(3)
            for _ in range(DRAWS):
                held += _one_club(source, size, rate, weight)
            totals += held
            print(
                f"{size:>8} {rate:>6} {weight:>7} {held[0] / held[2]:>10.1%} "
                f"{held[1] / held[2]:>8.1%}"
            )
    print(
        f"{'all':>8} {'':>6} {'':>7} {totals[0] / totals[2]:>10.1%} {totals[1] / totals[2]:>8.1%}"
    )


def _one_club(source: np.random.Generator, size: int, rate: float, weight: float) -> np.ndarray:
    """How many true rates the posterior and Wilson's interval hold, and of how many."""
    true = source.beta(weight * rate, weight * (1 - rate), size)
    called = source.integers(5, 41, size)
    tallies = [
        Tally(int(source.binomial(count, p)), int(count))
        for count, p in zip(called, true, strict=True)
    ]
    posterior = plain = 0
    for tally, prior, p in zip(tallies, priors(tallies), true, strict=True):
        one = posterior_interval(tally, prior)
        other = wilson(tally.answered, tally.called)
        posterior += one.low <= p <= one.high
        plain += other.low <= p <= other.high
    return np.array([posterior, plain, size])


if __name__ == "__main__":
    main()
