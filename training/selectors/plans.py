"""A member's scrambles and plans, each with the state that this viewer may see."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from django.utils.translation import gettext as _

from solverworker.outlook import OUTLOOK_VERSION, PlanOutlook
from solverworker.report import PlanReport
from training import policies, visibility, windows
from training.models import (
    Challenge,
    Corrected,
    Kind,
    Membership,
    Plan,
    PlanKind,
    PlanStatus,
    Scramble,
    ScrambleSet,
)
from training.prepared import INSTANT, LARGE
from training.selectors.attempts import InspectionView, inspection_view
from training.selectors.corrections import CorrectionNote, notes_of
from training.selectors.for_viewers import PreparedFor
from training.selectors.own_months import MonthOfSets
from training.selectors.plan_rows import plans_of, scrambles_in
from training.selectors.scramble_rows import scramble_row as scramble_row
from training.selectors.set_heads import SetHead, head_of, load_named
from training.visibility import OwnPlans, Sealed


class State(StrEnum):
    """A plan's states, by product's words; ``missed``: closed without a plan.

    ``void``: the scramble counts for nobody.
    """

    TO_PLAN = "to_plan"
    MISSED = "missed"
    WAITING = "waiting"
    SEALED = "sealed"
    CHECKED = "checked"
    NOT_SOLVED = "not_solved"
    FAILED = "could_not_be_checked"
    WITHDRAWN = "withdrawn"
    VOID = "void"


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan as its viewer may see it.

    ``solved`` and ``moves`` are known as soon as it is checked. ``report`` is
    None until the answers are open to the viewer; what it holds is nowhere else.
    So is ``outlook``, what the plan leaves, which comes a moment after the report.
    ``pair_written`` and ``pair_canonical``: the moves for the first pair, if they
    were written too. ``held``: colours of top and front, where they were told beside it.
    ``out_of_time``: its set is timed only, so it counts 8. ``inspection``: how long it was.
    """

    id: int
    membership_id: int
    member: str
    number: int
    no_plan: bool
    written: str
    canonical: str
    pair_written: str
    pair_canonical: str
    held: str
    out_of_time: bool
    inspection: InspectionView | None
    handed_in_at: datetime
    state: State
    reason: str
    solved: bool | None
    moves: int | None
    report: PlanReport | None
    outlook: PlanOutlook | None
    checked_at: datetime | None


@dataclass(frozen=True, slots=True)
class ScrambleView:
    """One scramble of a set for one member: the text, and the own plan if it is in.

    ``drawn_to``: the idea that a cross of a member's practice was drawn to, if any.
    ``void``: it counts for nobody.
    """

    id: int
    number: int
    text: str
    state: State
    answers_open: bool
    plan: PlanView | None
    drawn_to: str | None = None
    void: bool = False


@dataclass(frozen=True, slots=True)
class SetView:
    """A set with its scrambles, as one member sees it, and what was corrected of it.

    ``challenge_id``: of a weekly challenge, whose page has its table.
    """

    head: SetHead
    scrambles: tuple[ScrambleView, ...]
    table_open: bool
    corrections: tuple[CorrectionNote, ...] = ()
    challenge_id: int | None = None

    @property
    def to_plan(self) -> tuple[ScrambleView, ...]:
        return tuple(one for one in self.scrambles if one.state == State.TO_PLAN)


def sets_now(viewer: Membership, now: datetime) -> list[SetView]:
    """The sets that are open now, the one that closes first at the head."""
    return _set_views(viewer, _open_now(viewer, now), now)


def last_closed(viewer: Membership, now: datetime) -> SetView | None:
    """The set that closed last, for a day on which none is open."""
    closed = visibility.sets_to_plan(viewer, now).closed(now)
    views = _set_views(viewer, closed.order_by("-closes_at")[:1], now)
    return views[0] if views else None


def set_for(viewer: Membership, set_id: int, now: datetime) -> SetView:
    """One set of the viewer's club. Raises Sealed for what is not there or not yet."""
    return _set_views(viewer, [set_row(viewer, set_id, now)], now)[0]


def set_row(viewer: Membership, set_id: int, now: datetime) -> ScrambleSet:
    """The row of one set. Raises Sealed for what is not there or not yet."""
    found = _visible(viewer, now, set_id)
    if not found:
        raise Sealed
    return found[0]


def just_handed_in(plan: Plan) -> PlanView:
    """A plan as its member sees it the moment it is stored: it waits, whoever may see what."""
    return plan_view(plan, answers_open=False)


def scramble_for(
    viewer: Membership, set_id: int, number: int, now: datetime
) -> tuple[SetView, ScrambleView]:
    """One scramble and the set it is of. Raises Sealed for what is not there or not yet."""
    view = set_for(viewer, set_id, now)
    for scramble in view.scrambles:
        if scramble.number == number:
            return view, scramble
    raise Sealed


def own_sets(
    viewer: Membership, now: datetime, *, start: int = 0, count: int = 14
) -> list[SetView]:
    """The viewer's sets since joining, newest first: a page of ``count`` from ``start`` on."""
    sets = visibility.sets_since_joining(viewer, now)
    return _set_views(viewer, sets.order_by("-opens_at")[start : start + count], now)


def own_sets_of_month(viewer: Membership, found: MonthOfSets, now: datetime) -> list[SetView]:
    """The viewer's sets that opened in a month, newest first."""
    sets = visibility.sets_since_joining(viewer, now).opening_within(found.begin, found.end)
    return _set_views(viewer, sets.order_by("-opens_at"), now)


def own_set_count(viewer: Membership, now: datetime) -> int:
    """How many sets :func:`own_sets` has in all."""
    return visibility.sets_since_joining(viewer, now).count()


_visible = PreparedFor(
    lambda viewer, now, set_id: visibility.visible_sets(viewer, now).filter(pk=set_id),
    *(INSTANT, LARGE),
)
_open_now = PreparedFor(
    lambda viewer, now: visibility.sets_to_plan(viewer, now).not_closed(now).order_by("closes_at"),
    INSTANT,
)


def _set_views(viewer: Membership, sets: Iterable[ScrambleSet], now: datetime) -> list[SetView]:
    found = list(sets)
    for one in found:
        one.club = viewer.club
    ids = [one.pk for one in found]
    scrambles: dict[int, list[Scramble]] = defaultdict(list)
    for scramble in scrambles_in(ids):
        scrambles[scramble.scramble_set_id].append(scramble)
    plans = {plan.scramble_id: plan for plan in plans_of(viewer.pk, ids)}
    notes = notes_of(ids, reader=viewer)
    load_named(found)
    named = windows.named_for(found, now)
    shut = {set_id for set_id, members in named.items() if viewer.pk not in members}
    views = [_set_view(viewer, one, scrambles[one.pk], plans, notes, shut, now) for one in found]
    return _with_challenges(views)


def _with_challenges(views: list[SetView]) -> list[SetView]:
    """With the ids of challenges. One query where there is any, none else."""
    ids = [one.head.id for one in views if one.head.kind == Kind.CHALLENGE]
    if not ids:
        return views
    known = dict(
        Challenge.objects.filter(scramble_set__in=ids).values_list("scramble_set_id", "pk")
    )
    return [replace(one, challenge_id=known.get(one.head.id)) for one in views]


def _set_view(
    viewer: Membership,
    scramble_set: ScrambleSet,
    scrambles: Sequence[Scramble],
    plans: dict[int, Plan],
    corrections: Sequence[CorrectionNote],
    shut: Collection[int],
    now: datetime,
) -> SetView:
    notes = tuple(note for note in corrections if note.set_id == scramble_set.pk)
    reasons = {note.number: note.reason for note in notes if note.kind == Corrected.PLAN_WITHDRAWN}
    own = own_plans_of(scrambles, plans)
    profile = scramble_set.drawn_to
    closed = policies.has_closed(scramble_set, now) or scramble_set.pk in shut
    views = []
    for scramble in scrambles:
        answers = visibility.sees_answers(viewer, scramble_set, scramble.number, own, now)
        plan = plans.get(scramble.pk)
        views.append(
            ScrambleView(
                id=scramble.pk,
                number=scramble.number,
                text=scramble.text,
                state=state_of(plan, answers, closed)
                if policies.counts_for_all(scramble)
                else State.VOID,
                answers_open=answers,
                plan=plan_view(plan, answers, reasons.get(scramble.number, "")) if plan else None,
                drawn_to=profile.called_by(scramble.number) if profile else None,
                void=scramble.void,
            )
        )
    return SetView(
        head=replace(head_of(scramble_set, now), closed_to_reader=scramble_set.pk in shut),
        scrambles=tuple(views),
        table_open=visibility.sees_table(viewer, scramble_set, own, now),
        corrections=notes,
    )


def own_plans_of(scrambles: Sequence[Scramble], plans: dict[int, Plan]) -> OwnPlans:
    """Which of a set's scrambles have a plan, by scramble id."""
    return OwnPlans(
        numbers=frozenset(s.number for s in scrambles if s.pk in plans),
        counting=frozenset(s.number for s in scrambles if not s.void),
    )


def state_of(plan: Plan | None, answers_open: bool, closed: bool) -> State:
    """The state that a viewer sees of a plan, or of the place where one is missing."""
    if plan is None:
        return State.MISSED if closed else State.TO_PLAN
    if plan.status == PlanStatus.WAITING:
        return State.WAITING
    if plan.status == PlanStatus.FAILED:
        return State.FAILED
    if plan.status == PlanStatus.WITHDRAWN:
        return State.WITHDRAWN
    if not answers_open:
        return State.SEALED
    return State.CHECKED if plan.verdict.solved else State.NOT_SOLVED


def plan_view(plan: Plan, answers_open: bool, withdrawn_because: str = "") -> PlanView:
    """A plan (scramble, membership, inspection, verdict and outlook loaded).

    With its report and what it leaves if the answers are open.
    """
    verdict = (
        plan.verdict if plan.status != PlanStatus.WAITING and hasattr(plan, "verdict") else None
    )
    return PlanView(
        id=plan.pk,
        membership_id=plan.membership_id,
        member=plan.membership.display_name,
        number=plan.scramble.number,
        no_plan=plan.kind == PlanKind.NO_PLAN,
        written=plan.written,
        canonical=plan.canonical,
        pair_written=plan.pair_written,
        pair_canonical=plan.pair_canonical,
        held=plan.held,
        out_of_time=plan.out_of_time,
        inspection=inspection_view(plan),
        handed_in_at=plan.handed_in_at,
        state=state_of(plan, answers_open, closed=False),
        reason=_(plan.failure_reason) if plan.failure_reason else withdrawn_because,
        solved=verdict.solved if verdict else None,
        moves=verdict.moves if verdict else None,
        report=PlanReport.from_dict(verdict.report) if verdict and answers_open else None,
        outlook=outlook_of(plan) if verdict and answers_open else None,
        checked_at=verdict.checked_at if verdict else None,
    )


def outlook_of(plan: Plan) -> PlanOutlook | None:
    """What a plan (its outlook loaded) leaves; None while that is to be made.

    It tells of the best: nobody sees it to whom the answers are not open.
    """
    found = getattr(plan, "outlook", None)
    if found is None or found.facts is None or found.version != OUTLOOK_VERSION:
        return None
    return PlanOutlook.from_dict(found.facts)
