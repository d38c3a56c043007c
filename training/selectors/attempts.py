"""What stands on the way to a plan: the inspection, the draft, cubes that differ."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from training import inspecting, policies, visibility
from training.entry import Choice, Entry
from training.inspection import Inspected
from training.models import CubeNote, Draft, Inspection, Membership, Plan, Scramble
from training.prepared import LARGE, Prepared
from training.refusals import Refusal
from training.windows import require_still_plan

_inspection = Prepared(
    lambda member, scramble: Inspection.objects.filter(
        membership=member, scramble=scramble
    ).order_by(),
    LARGE,
    LARGE,
)


def inspection_for(membership_id: int, scramble_id: int) -> Inspection | None:
    """How a member inspected a scramble, if they did. One query."""
    return next(iter(_inspection(membership_id, scramble_id)), None)


@dataclass(frozen=True, slots=True)
class OnTheWay:
    """Where a member is with a scramble. ``draft``: what is written; ``key``: it goes in with."""

    inspection: Inspection | None
    draft: Draft | None
    told: bool

    @property
    def begun(self) -> bool:
        return self.inspection is not None

    @property
    def looked_again(self) -> bool:
        return self.inspection is not None and self.inspection.looked_again_at is not None

    @property
    def entry(self) -> Entry | None:
        """The draft as an entry."""
        one = self.draft
        if one is None:
            return None
        return Entry(
            one.written,
            Choice(one.choice),
            lower_case_meant=one.lower_case_meant,
            pair=one.pair_written,
            held=one.held,
        )


def on_the_way(viewer: Membership, set_id: int, number: int) -> OnTheWay:
    """Where the viewer is with a scramble (which is there for them). Three queries."""
    own = {
        "membership": viewer,
        "scramble__scramble_set": set_id,
        "scramble__number": number,
    }
    return OnTheWay(
        inspection=Inspection.objects.filter(**own).first(),
        draft=Draft.objects.filter(**own).first(),
        told=CubeNote.objects.filter(**own).exists(),
    )


def why_not_handed_in(viewer: Membership, scramble: Scramble, now: datetime) -> Refusal | None:
    """Why nothing more can be handed in for a scramble; None where it can."""
    try:
        plan = Plan.objects.filter(membership=viewer, scramble=scramble).first()
        if plan is not None:
            return policies.is_final(plan)
        require_still_plan(viewer, scramble.scramble_set, now)
        policies.require_counting_scramble(scramble)
    except Refusal as refusal:
        return refusal
    return None


@dataclass(frozen=True, slots=True)
class InspectionView:
    """How long the inspection before a plan took, as its viewers may see it.

    ``milliseconds``: by the server's clock; None where it is untimed. The true time is that, give
    or take ``give_or_take``. ``over``: 15 seconds or more; ``late``: 17 or more (WCA A4d), both
    beyond doubt. ``second_look``: the scramble was uncovered again. ``in_time``: it stands among
    timed plans.
    """

    milliseconds: int | None
    give_or_take: int
    over: bool
    late: bool
    second_look: bool
    in_time: bool


def inspection_view(plan: Plan) -> InspectionView | None:
    """What is known of the inspection (loaded) before a plan; None where there was none."""
    if plan.inspection is None:
        return None
    found: Inspected = inspecting.inspected_of(plan.inspection)
    return InspectionView(
        milliseconds=found.taken,
        give_or_take=found.doubt,
        over=found.over,
        late=found.late,
        second_look=found.second_look,
        in_time=found.in_time,
    )


@dataclass(frozen=True, slots=True)
class CubeThatDiffers:
    """A member's cube that did not look like the picture, scrambled twice."""

    membership_id: int
    member: str
    set_id: int
    number: int
    told_at: datetime


def cubes_that_differ(viewer: Membership, set_ids: Iterable[int]) -> tuple[CubeThatDiffers, ...]:
    """Whose cubes differ in some sets, for coaches alone. One query."""
    visibility.require_group(viewer)
    rows = (
        CubeNote.objects.of_club(viewer.club_id)
        .filter(scramble__scramble_set__in=list(set_ids))
        .select_related("membership", "scramble")
    )
    return tuple(
        CubeThatDiffers(
            one.membership_id,
            one.membership.display_name,
            one.scramble.scramble_set_id,
            one.scramble.number,
            one.told_at,
        )
        for one in rows
    )
