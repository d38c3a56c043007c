"""What was found on a second look: read by the member whose plan it is, and by the coaches."""

from __future__ import annotations

from dataclasses import dataclass

from training.models import SecondLook
from training.prepared import LARGE, SMALL, Prepared
from training.selectors.plans import PlanView


@dataclass(frozen=True, slots=True)
class FoundAgain:
    """Moves found from a place in a plan, which has ``place`` tokens before it; ``number``: of
    the move that stands there in the plan, as moves count."""

    place: int
    number: int
    moves: str
    hints: int


def second_looks(plan: PlanView, set_id: int) -> tuple[FoundAgain, ...]:
    """What its member found on a second look at a plan, in the plan's order. One query.

    Nothing where the viewer may not read what the plan is worth.
    """
    if plan.report is None:
        return ()
    found = _of_scramble(plan.membership_id, set_id, plan.number)
    ledger = plan.report.ledger
    return tuple(
        FoundAgain(
            place=one.place,
            number=1 + sum(row.moves for row in ledger[: one.place]),
            moves=one.moves,
            hints=one.hints,
        )
        for one in found
    )


_of_scramble = Prepared(
    lambda member, set_id, number: SecondLook.objects.filter(
        membership=member, scramble__scramble_set=set_id, scramble__number=number
    ),
    *(LARGE, LARGE, SMALL),
)
