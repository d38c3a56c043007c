"""How far ahead somebody sees: survival from the end of plans.

Sources: Kaplan and Meier 1958, JASA 53:457-481 (the product-limit estimate); remissions under
6-mercaptopurine, Freireich et al. 1963, Blood 21:699-716, as in every textbook (data and curve
from memory, the curve recomputed); the definitions of tail and reach are the project's own.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.reach import LEAST_AT_RISK, STEPS, Ending, reach_of, survival

REMISSIONS = [6, 6, 6, 7, 10, 13, 16, 22, 23]
STILL_IN_REMISSION = [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]


def test_remissions_of_21_patients():
    weeks = [6, 7, 10, 13, 16, 22, 23]
    found = survival(REMISSIONS, STILL_IN_REMISSION, weeks)
    assert found.chance == pytest.approx(
        [0.857, 0.807, 0.753, 0.690, 0.627, 0.538, 0.448], abs=5e-4
    )
    assert all(
        low < chance < high
        for low, chance, high in zip(found.low, found.chance, found.high, strict=True)
    )


def test_limits_of_remissions():
    """At 95 %, log-log, as statistics packages print them for these data (from memory)."""
    found = survival(REMISSIONS, STILL_IN_REMISSION, [6, 7, 10, 13, 16, 22, 23], 0.95)
    assert found.low == pytest.approx(
        [0.6197, 0.5631, 0.5032, 0.4316, 0.3675, 0.2678, 0.1881], abs=5e-4
    )
    assert found.high == pytest.approx(
        [0.9516, 0.9228, 0.8894, 0.8491, 0.8049, 0.7468, 0.6801], abs=5e-4
    )


def test_one_sided_limits_come_from_those_still_at_risk():
    """No event in n: the rule of three, exactly 1 - .1 ** (1 / n) at 90 % (common practice)."""
    # Ten plans in all, of which five were begun six moves before the end or more.
    found = reach_of([Ending(3, None)] * 5 + [Ending(7, None)] * 5)
    assert found.low[:7] == pytest.approx([0.1 ** (1 / 10)] * 3 + [0.1 ** (1 / 5)] * 4)
    assert found.high[:7] == (1,) * 7
    # Nothing but losses among the last: the same from below, of those that were left.
    lost = survival([2, 2, 5, 5, 5], [], [6], 0.9)
    assert (lost.chance, lost.low) == ([0], [0])
    assert lost.high == pytest.approx([1 - 0.1 ** (1 / 3)])


ENDINGS = st.lists(
    st.integers(1, 8).flatmap(
        lambda distance: st.builds(Ending, st.just(distance), st.none() | st.integers(0, distance))
    ),
    max_size=40,
)


def plain(endings, k):
    """S(k) as the product over t < k of 1 - losses that arrive at t / plans at risk at t."""
    chance = Fraction(1)
    for t in range(k):
        risk = [e for e in endings if (t < e.distance if e.tail is None else t <= e.tail)]
        if risk:
            chance *= 1 - Fraction(sum(e.tail == t for e in risk), len(risk))
    return chance


@given(ENDINGS)
def test_the_curve_is_the_plain_product(endings):
    found = reach_of(endings)
    for k in range(1, STEPS + 1):
        risk = sum(k - 1 < e.distance if e.tail is None else k - 1 <= e.tail for e in endings)
        if risk < LEAST_AT_RISK:
            assert found.at_least[k - 1] is None
        else:
            assert found.at_least[k - 1] == pytest.approx(float(plain(endings, k)))
            assert 0 <= found.low[k - 1] <= found.at_least[k - 1] <= found.high[k - 1] <= 1
    if endings:
        chances = [plain(endings, k) for k in range(1, STEPS + 1)]
        assert found.reach == sum(chance >= Fraction(1, 2) for chance in chances)
    else:
        assert found.reach is None
    assert found.solved == len(endings)
    assert found.exact == sum(e.tail is None for e in endings)


def test_an_exact_plan_is_at_risk_below_its_distance_only():
    """Ties as a library breaks them would keep five-movers at risk of a loss that arrives at 5."""
    found = reach_of([Ending(5, None)] * 6 + [Ending(8, 5)] * 6)
    assert found.at_least[:6] == (1, 1, 1, 1, 1, 0)
    assert found.reach == 5


def test_a_loss_at_the_very_end_leaves_no_reach():
    assert reach_of([Ending(6, 0)] * 6).reach == 0
