"""Time beside excess: a member's timed plans of the last weeks, and the others to compare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from training import clock, visibility
from training.models import Membership, Plan
from training.prepared import INSTANT, LARGE
from training.selectors.attempts import InspectionView, inspection_view
from training.selectors.for_viewers import PreparedFor
from training.selectors.reviews import WEEKS, first_monday

MOST_SHOWN = 10


@dataclass(frozen=True, slots=True)
class PlansTogether:
    """Plans added up: how many, how many solve, and the moves that the solving ones lost."""

    plans: int
    solved: int
    lost: int

    @property
    def mean(self) -> float | None:
        """Moves lost a solved plan."""
        return self.lost / self.solved if self.solved else None


@dataclass(frozen=True, slots=True)
class TimedPlan:
    """One timed plan: of which day and scramble, how long, what it lost (None: not solved)."""

    plan_id: int
    set_id: int
    day: date
    number: int
    inspection: InspectionView
    excess: int | None


@dataclass(frozen=True, slots=True)
class InspectionTimes:
    """A member's plans of the sets that a review tells of, by how they were inspected.

    ``in_time``: timed, from one look, not late. ``second_look`` and ``late``: how many are so.
    ``mean``: milliseconds over those in time; None for none; ``over``: how many of them are over.
    ``latest``: timed plans, the newest first.
    """

    in_time: PlansTogether
    others: PlansTogether
    over: int
    late: int
    second_look: int
    mean: int | None
    give_or_take: int
    latest: tuple[TimedPlan, ...]


def inspection_times(
    viewer: Membership, member: Membership, now: datetime, *, weeks: int = WEEKS
) -> InspectionTimes:
    """How somebody (whose review is open to ``viewer``) inspected in the last weeks. Two queries.

    Raises Sealed where the review is not.
    """
    visibility.require_review(viewer, member)
    since = clock.local_to_utc(first_monday(member, now, weeks), clock.MIDNIGHT, member.club.zone)
    plans = _plans(viewer, since, now, member.pk)
    told = [(plan, view) for plan in plans if (view := inspection_view(plan)) is not None]
    good = [(plan, view) for plan, view in told if view.in_time]
    good_ids = {plan.pk for plan, _view in good}
    times = [view.milliseconds or 0 for _plan, view in good]
    return InspectionTimes(
        in_time=_together([plan for plan, _view in good]),
        others=_together([plan for plan in plans if plan.pk not in good_ids]),
        over=sum(view.over for _plan, view in good),
        late=sum(view.late for _plan, view in told),
        second_look=sum(view.second_look for _plan, view in told),
        mean=round(sum(times) / len(times)) if times else None,
        give_or_take=round(sum(view.give_or_take for _p, view in good) / len(good)) if good else 0,
        latest=tuple(_timed(plan, view) for plan, view in told if view.milliseconds is not None)[
            :MOST_SHOWN
        ],
    )


_plans = PreparedFor(
    lambda viewer, since, now, member: (
        Plan.objects.checked()
        .for_counting_scrambles()
        .filter(
            membership=member,
            scramble__scramble_set__in=visibility.reviewed_sets(viewer, since, now),
        )
        .select_related("inspection", "verdict", "scramble__scramble_set")
        .defer("verdict__report", "verdict__techniques")
        .order_by("-handed_in_at", "-pk")
    ),
    *(INSTANT, INSTANT, LARGE),
)


def _together(plans: Sequence[Plan]) -> PlansTogether:
    solved = [plan.verdict for plan in plans if plan.verdict.solved]
    return PlansTogether(len(plans), len(solved), sum(one.excess or 0 for one in solved))


def _timed(plan: Plan, view: InspectionView) -> TimedPlan:
    return TimedPlan(
        plan_id=plan.pk,
        set_id=plan.scramble.scramble_set_id,
        day=plan.scramble.scramble_set.day,
        number=plan.scramble.number,
        inspection=view,
        excess=plan.verdict.excess,
    )
