"""Seconds of inspection for the strongest: of timed, exact plans from one look.

The median of counts that are written out here. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, Given, make_membership
from tests.history import weeks_of_plans
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Inspection, Inspects, Membership, Plan

THREE = ("R F D2", "D2 F' R'", "U D2 F' R' U'")
"""Yellow cross: a scramble of three moves, taken back, and the same with a turn of the top more."""


@pytest.fixture
def strongest(given: Given, member: Membership) -> list[Plan]:
    """Four weeks without a lost move, the plans in order."""
    weeks_of_plans(given, member, 4, answered=True, scramble=THREE)
    other = make_membership(given.club, "Other")
    weeks_of_plans(given, other, 4, answered=False, scramble=THREE)
    return list(Plan.objects.filter(membership=member).order_by("pk"))


def timed(plans: Sequence[Plan], seconds: Sequence[float], **fields: object) -> None:
    for plan, one in zip(plans, seconds, strict=False):
        begun = plan.handed_in_at - timedelta(minutes=2)
        made = Inspection.objects.create(
            **{
                "membership": plan.membership,
                "scramble": plan.scramble,
                "chosen": Inspects.TIMED,
                "begun_at": begun,
                "begun_trip": 80,
                "ended_at": begun + timedelta(seconds=one),
                "ended_trip": 240,
                **fields,
            }
        )
        Plan.objects.filter(pk=plan.pk).update(inspection=made)


def said(who: Membership, whose: Membership | None = None) -> str:
    path = "progress/" if whose is None else f"coach/members/{whose.pk}/"
    return seen(reader_for(who).get(f"{ROOT}/{path}"))


def test_half_of_them_took_so_long_or_less(
    member: Membership, coach: Membership, strongest: list[Plan]
) -> None:
    timed(strongest, [9.2, 14.9, 10.1, 16.0, 11.3, 8.0])
    own = said(member)
    # 8.0, 9.2 and 10.1 are three of six.
    sentence = "half of 6 plans, timed and exactly the best, took 11 seconds or less."
    assert f"Seconds of inspection: {sentence}" in own
    assert "each is known to within 0.3 of a second" in own[own.index("What that rests on") :]
    read = said(coach, member)
    assert sentence in read
    assert "within 0.3 of a second" in read


def test_all_equal_is_said_exactly(member: Membership, strongest: list[Plan]) -> None:
    timed(strongest, [12.0] * 5)
    assert "half of 5 plans, timed and exactly the best, took 12 seconds or less." in said(member)


def test_few_are_no_half(member: Membership, strongest: list[Plan]) -> None:
    timed(strongest, [9.0] * 4)
    own = said(member)
    assert "Too few timed plans are exactly the best to speak of seconds." in own
    assert "Seconds of inspection" not in own


@pytest.mark.parametrize(
    "fields",
    [
        {"chosen": Inspects.OWN},
        {"looked_again_at": NOON},
        {"ended_at": None, "ended_trip": None},
        {"begun_trip": 4000},
    ],
)
def test_what_is_untimed_or_had_a_second_look_is_left_out(
    member: Membership, strongest: list[Plan], fields: dict[str, object]
) -> None:
    timed(strongest, [9.0] * 6, **fields)
    own = said(member)
    assert "For the strongest" in own
    assert "speak of seconds" not in own
    assert "Seconds of inspection" not in own


def test_who_still_loses_moves_reads_nothing_of_it(
    given: Given, member: Membership, clock: Callable[[datetime], None]
) -> None:
    weeks_of_plans(given, member, 4, answered=False, scramble=THREE)
    timed(list(Plan.objects.filter(membership=member).order_by("pk")), [9.0] * 8)
    assert "Seconds of inspection" not in said(member)
