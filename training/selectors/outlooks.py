"""What a member's plans leave beyond their crosses, from rows made after the verdicts."""

from __future__ import annotations

from solverworker.outlook import OUTLOOK_VERSION, PlanOutlook
from training.models import Membership
from training.models.plans import VerdictQuerySet
from training.outlooks import LookedAt, OutlookHabits, habits_of


def outlook_habits(member: Membership, verdicts: VerdictQuerySet) -> OutlookHabits:
    """What the member's plans leave, of those that some verdicts are on. One query.

    ``verdicts``: only such whose answers are open to whoever reads.
    """
    rows = verdicts.filter(plan__membership=member).values_list(
        "plan__outlook__version",
        "plan__outlook__facts",
        "plan__scramble__scramble_set__colours",
        "solved",
        "colour",
    )
    plans, awaited = [], 0
    for version, facts, colours, solved, colour in rows:
        if version != OUTLOOK_VERSION:
            awaited += 1
        elif facts is not None:
            found = PlanOutlook.from_dict(facts)
            plans.append(LookedAt(found, tuple(colours), colour if solved else None))
    return habits_of(plans, awaited=awaited)
