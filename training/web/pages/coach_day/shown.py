"""A coach's day laid out: who handed in, who did not, what was lost."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from training.models import Membership
from training.selectors.coach import CoachSet, MemberDay, MemberLoss, Overview
from training.selectors.group_reviews import GroupReview
from training.selectors.plans import PlanView, State
from training.selectors.reviews import RESIDUES
from training.statistics import Flag
from training.web.pictures.bar import Bar, loss_bar
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.counting import count
from training.web.saying.ideas import idea_name
from training.web.saying.needs import need_words
from training.web.saying.rates import share
from training.web.saying.sets import SetLine, set_line
from training.web.saying.times import Said, say_short

SLIPS = "slips and spare moves"
"""Moves taken back or spare, in one line: a coach's day has no lesson for them."""


@dataclass(frozen=True, slots=True)
class PlanCell:
    """One plan in the list of a day: a small rule with words, leading to the plan."""

    id: int
    href: str
    rule: EightRule | None
    text: str


@dataclass(frozen=True, slots=True)
class MemberLine:
    """One member of a day."""

    member: str
    last: Said | None
    handed_in: str
    lost: str
    cells: tuple[PlanCell | None, ...]


@dataclass(frozen=True, slots=True)
class DayShown:
    """One set of a coach's day."""

    id: int
    line: SetLine
    handed_in: int
    expected: int
    missing: tuple[str, ...]
    lines: tuple[MemberLine, ...]
    columns: tuple[int, ...]
    plans_open: bool
    own_href: str
    waiting: str
    failed: str


@dataclass(frozen=True, slots=True)
class LossLine:
    """Moves that one member's plans lost this week; ``href`` leads to the member's progress."""

    id: int
    member: str
    href: str
    lost: int
    bar: Bar
    plans: int
    solved: int
    exact: int


@dataclass(frozen=True, slots=True)
class CauseLine:
    """What the week's moves were lost to. ``href`` leads to the lesson; empty for a slip."""

    name: str
    href: str
    lost: str
    bar: Bar
    need: str
    certain: bool


@dataclass(frozen=True, slots=True)
class OverviewShown:
    """What the coach's page needs."""

    days: tuple[DayShown, ...]
    losses: tuple[LossLine, ...]
    consent: str


def show_causes(viewer: Membership, found: Overview, review: GroupReview) -> tuple[CauseLine, ...]:
    """The week's moves by cause, each technique with who likely needs it by the last weeks."""
    needs = {one.code: one for one in review.techniques}
    lost: dict[str, float] = defaultdict(float)
    for one in found.lost_to:
        lost[SLIPS if one.code in RESIDUES else one.code] += one.lost
    most = max(lost.values(), default=0.0)
    lines = []
    for code, moves in sorted(lost.items(), key=lambda pair: -pair[1]):
        line = needs.get(code)
        words = need_words(line.lacking, line.group_lacks, review.target) if line else ""
        lines.append(
            CauseLine(
                name=SLIPS if code == SLIPS else idea_name(code),
                href=reverse("lesson", args=[viewer.club.slug, code]) if line else "",
                lost=share(moves),
                bar=loss_bar(moves, most),
                need=words or (str(Flag.UNKNOWN) if line else "not an idea"),
                certain=bool(words),
            )
        )
    return tuple(lines)


def show_overview(viewer: Membership, found: Overview, now: datetime) -> OverviewShown:
    """Lay out a coach's day."""
    waiting = found.waiting_for_consent
    people = "1 child waits" if waiting == 1 else f"{waiting} children wait"
    return OverviewShown(
        days=tuple(show_day(viewer, one, now) for one in found.sets),
        losses=_losses(found.losses, viewer.club.slug),
        consent=f"{people} for a guardian’s consent." if waiting else "",
    )


def show_day(viewer: Membership, one: CoachSet, now: datetime) -> DayShown:
    """Lay out one set with everybody's plans, newest first."""
    zone = viewer.club.zone
    newest_first = sorted(one.handed_in, key=lambda day: day.last_at or now, reverse=True)
    return DayShown(
        id=one.head.id,
        line=set_line(one.head, now, zone),
        handed_in=len(one.handed_in),
        expected=one.expected,
        missing=tuple(day.member for day in one.missing),
        lines=tuple(_member(viewer, day, len(one.scrambles), now) for day in newest_first),
        columns=tuple(range(1, len(one.scrambles) + 1)) if one.plans_open else (),
        plans_open=one.plans_open,
        own_href=reverse("set", args=[viewer.club.slug, one.head.id]),
        waiting=f"{count(one.waiting, 'plan')} being checked" if one.waiting else "",
        failed=f"{count(one.failed, 'plan')} could not be checked" if one.failed else "",
    )


def _member(viewer: Membership, day: MemberDay, scrambles: int, now: datetime) -> MemberLine:
    by_number = {plan.number: plan for plan in day.plans}
    cells = tuple(
        _cell(viewer, by_number[number]) if number in by_number else None
        for number in range(1, scrambles + 1)
    )
    return MemberLine(
        member=day.member,
        last=say_short(day.last_at, now, viewer.club.zone) if day.last_at else None,
        handed_in=f"{day.handed_in} of {scrambles}",
        lost="" if day.excess is None else str(day.excess),
        cells=cells if day.plans else (),
    )


def _cell(viewer: Membership, plan: PlanView) -> PlanCell:
    report = plan.report
    rule, text = None, ""
    if report is not None and plan.state in (State.CHECKED, State.NOT_SOLVED):
        rule = eight_rule(report.best, report.moves if report.solved else None, kind="line")
        if report.excess is None:
            text = "no plan" if plan.no_plan else "not solved"
        else:
            text = "best" if report.excess == 0 else f"+{report.excess}"
    else:
        words = {State.WAITING: "being checked", State.FAILED: "not checked"}
        text = words.get(plan.state, "withdrawn")
    href = reverse("coach_plan", args=[viewer.club.slug, plan.id])
    return PlanCell(plan.id, href, rule, text)


def _losses(losses: tuple[MemberLoss, ...], slug: str) -> tuple[LossLine, ...]:
    most = max((one.lost for one in losses), default=0)
    return tuple(
        LossLine(
            id=one.membership_id,
            member=one.member,
            href=reverse("coach_member", args=[slug, one.membership_id]),
            lost=one.lost,
            bar=loss_bar(one.lost, most),
            plans=one.plans,
            solved=one.solved,
            exact=one.exact,
        )
        for one in losses
    )


@dataclass(frozen=True, slots=True)
class Need:
    """The idea that the group needs first; ``why`` says over which weeks."""

    name: str
    href: str
    why: str


def first_need(viewer: Membership, review: GroupReview) -> Need | None:
    """What the next lesson is about; None while nothing stands out."""
    first = review.techniques[0]
    if not first.need:
        return None
    name = idea_name(first.code)
    return Need(
        name,
        reverse("lesson", args=[viewer.club.slug, first.code]),
        f"Over the last {count(review.weeks, 'week')} the group needs {name} most.",
    )
