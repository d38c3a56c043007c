"""Plans of the past, checked and summed up, for tests of reviews."""

from __future__ import annotations

import uuid
from datetime import timedelta

from solverworker import review, tasks
from solverworker.report import PlanReport
from tests.conftest import NOON, Given
from training.entry import Entry
from training.models import Membership, Plan, PlanKind, Scramble, ScrambleSet
from training.services import outlooks
from training.services.plans import hand_in
from training.services.verdicts import record_history

BASE_TURN = ("R D", "D' R'", "R U' R' B2 D'")
"""Yellow cross: a scramble whose one shortest solution is a base turn (a worked vector of the
definitions), that solution, and a plan three moves longer that does without."""


def past(given: Given, who: Membership, a_set: ScrambleSet, *plans: str | None) -> None:
    """Checked plans for a set of the past, one after the other."""
    record_history(checked=_checked(who, a_set, *plans))


def _checked(
    who: Membership, a_set: ScrambleSet, *plans: str | None
) -> list[tuple[Plan, PlanReport]]:
    rows = []
    scrambles = {
        one.number: one
        for one in Scramble.objects.select_related("scramble_set__club").filter(scramble_set=a_set)
    }
    for number, written in enumerate(plans, start=1):
        plan = Plan(
            scramble=scrambles[number],
            membership=who,
            kind=PlanKind.NO_PLAN if written is None else PlanKind.MOVES,
            written=written or "",
            canonical=written or "",
            key=uuid.uuid4(),
            handed_in_at=a_set.opens_at,
            rung_at=a_set.opens_at,
        )
        text = scrambles[number].text
        rows.append((plan, review.check_plan(text, written or "", colours=["yellow"])))
    return rows


def weeks_of_plans(
    given: Given,
    who: Membership,
    weeks: int,
    answered: bool,
    scramble: tuple[str, str, str] = BASE_TURN,
) -> None:
    """A set a week, the last of yesterday, in which one technique is called for five times."""
    rows = []
    for number in range(weeks):
        opens = NOON - timedelta(days=7 * number + 1, hours=13)
        a_set = ScrambleSet.objects.filter(opens_at=opens).first() or given.a_set(
            opens=opens, closes=opens + timedelta(days=1), scrambles=(scramble[0],) * 5
        )
        rows += _checked(who, a_set, *[scramble[1 if answered else 2]] * 5)
    # All weeks at once: the sums of a set are then made once.
    record_history(checked=rows)


def plans_with_pairs(who: Membership, a_set: ScrambleSet) -> None:
    """Four plans, with first pairs that are in and not in; all that is said of them is there."""
    pairs = (("z2 B U R2 D F", "U R U'"), ("z2 U B U R2 D F", ""), ("R", "U"), ("z2", ""))
    during = a_set.opens_at + timedelta(hours=1)
    for number, (moves, pair) in enumerate(pairs, start=1):
        plan = hand_in(
            membership=who,
            scramble=Scramble.objects.get(scramble_set=a_set, number=number),
            entry=Entry(moves, pair=pair),
            key=uuid.uuid4(),
            now=during,
        ).plan
        tasks.check_plan.run(plan.pk)
    while outlooks.work(make=tasks.outlook_maker):
        pass
