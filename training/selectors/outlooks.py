"""What a member's plans leave beyond their crosses, from rows made after the verdicts."""

from __future__ import annotations

from django.db.models import QuerySet

from solverworker.outlook import OUTLOOK_VERSION, PlanOutlook
from training.models import Membership, Outlook, PlanStatus, ScrambleSet
from training.outlooks import LookedAt, OutlookHabits, habits_of


def outlook_habits(member: Membership, sets: QuerySet[ScrambleSet]) -> OutlookHabits:
    """What the member's checked plans of some sets leave. One query.

    ``sets``: only such whose answers are open to whoever reads.
    """
    rows = Outlook.objects.filter(
        plan__membership=member,
        plan__scramble__scramble_set__in=sets,
        plan__status=PlanStatus.CHECKED,
    ).values_list(
        "version",
        "facts",
        "plan__scramble__scramble_set__colours",
        "plan__verdict__solved",
        "plan__verdict__colour",
    )
    plans, awaited = [], 0
    for version, facts, colours, solved, colour in rows:
        if version != OUTLOOK_VERSION:
            awaited += 1
        elif facts is not None:
            found = PlanOutlook.from_dict(facts)
            plans.append(LookedAt(found, tuple(colours), colour if solved else None))
    return habits_of(plans, awaited=awaited)
