"""Who of the demo club looked a second time, and found what was enough instead of a lost move."""

from __future__ import annotations

from datetime import datetime, timedelta

from solverworker.report import PlanReport
from solverworker.techniques.atlas_maker import atlas
from training.models import Club, Membership, Plan, PlanStatus
from training.services.second_looks import note_second_look
from training.web.saying.stories import lost_moves

LOOK_AGAIN = {"Noor": 2, "Bashir": 2}
"""How many of their newest plans that lost something they looked at again."""

PAUSE = timedelta(minutes=20)


def look_again(club: Club, now: datetime) -> None:
    """Find again, with a hint now and then, what the first loss left there to find."""
    atlas()
    for who in Membership.objects.select_related("club", "person").filter(
        club=club, display_name__in=LOOK_AGAIN
    ):
        newest = (
            Plan.objects.filter(
                membership=who,
                status=PlanStatus.CHECKED,
                scramble__scramble_set__closes_at__lte=now,
                scramble__void=False,
                verdict__solved=True,
                verdict__excess__gt=0,
            )
            .select_related("scramble__scramble_set", "verdict")
            .order_by("-handed_in_at")
        )
        for hints, plan in enumerate(newest[: LOOK_AGAIN[who.display_name]]):
            report = PlanReport.from_dict(plan.verdict.report)
            lost = lost_moves(plan.scramble.text, report)[0]
            note_second_look(
                by=who,
                set_id=plan.scramble.scramble_set_id,
                number=plan.scramble.number,
                place=lost.step - 1,
                moves=lost.way,
                hints=hints,
                now=min(now, plan.scramble.scramble_set.closes_at + PAUSE),
            )
