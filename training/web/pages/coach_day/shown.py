"""A coach's day laid out: who handed in, who did not, what was lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solverworker.causes.residues import SPARE
from training import clock
from training.headings import name_of
from training.models import Membership
from training.selectors.coach import CauseLoss, CoachSet, MemberDay, MemberLoss, Newcomer, Overview
from training.selectors.group_reviews import GroupLine, GroupReview, HabitLine
from training.selectors.improvements import Improved
from training.selectors.plans import PlanView, State
from training.web.pages.coach_day.improved import ImprovedShown, show_improved
from training.web.pictures.bar import Bar, loss_bar
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.counting import count, listed
from training.web.saying.needs import habit_words, need_words
from training.web.saying.rates import flag_words, of, points_words, share
from training.web.saying.sets import SetLine, set_line
from training.web.saying.times import Said, say_day, say_short
from training.yardsticks import Flag

_SPARE = "spare"
"""All spare moves, in one line: there is no lesson for them."""


@dataclass(frozen=True, slots=True)
class PlanCell:
    """One plan in the list of a set: a small rule with words, leading to the plan.

    ``whose``: the member and the scramble, for those who hear the table.
    """

    id: int
    href: str
    rule: EightRule | None
    text: str
    whose: str


@dataclass(frozen=True, slots=True)
class MemberPlans:
    """One member's plans of a set; ``lost`` and ``cells`` are empty while they may not be read."""

    member: str
    last: Said | None
    handed_in: str
    lost: str
    cells: tuple[PlanCell | None, ...]


@dataclass(frozen=True, slots=True)
class CoachSetShown:
    """What ``pages/coach_day/coach_set.html`` and the part for one set need.

    ``missing``: who has not handed in, in a sentence; ``everybody_in`` where nobody is missing.
    """

    id: int
    line: SetLine
    headline: str
    missing: str
    everybody_in: bool
    members: tuple[MemberPlans, ...]
    columns: tuple[int, ...]
    plans_open: bool
    own_href: str
    waiting: str
    failed: str


@dataclass(frozen=True, slots=True)
class LossShown:
    """Moves that one member's plans lost this week; ``href`` leads to the member's progress.

    ``lost`` is a number of moves where ``bar`` is drawn, else why there is none.
    """

    id: int
    member: str
    href: str
    lost: str
    bar: Bar | None
    plans: int
    solved: int
    exact: int


@dataclass(frozen=True, slots=True)
class CauseShown:
    """What the week's moves were lost to. ``href`` leads to the lesson; empty for spare moves."""

    name: str
    href: str
    lost: str
    bar: Bar
    need: str
    certain: bool


@dataclass(frozen=True, slots=True)
class FirstNeed:
    """The idea that the group needs first; ``why`` says over which weeks."""

    name: str
    href: str
    why: str


@dataclass(frozen=True, slots=True)
class CoachDayShown:
    """What ``pages/coach_day/coach_day.html`` needs.

    ``newcomers``: who waits to be let in; ``new_members``: who came in the last days.
    ``causes`` is None where the page asks for what changes by the minute alone.
    """

    sets: tuple[CoachSetShown, ...]
    losses: tuple[LossShown, ...]
    newcomers: str
    new_members: str
    consent: str
    causes: tuple[CauseShown, ...] | None
    first_need: FirstNeed | None
    improved: ImprovedShown | None


def show_coach_day(
    viewer: Membership,
    found: Overview,
    review: GroupReview | None,
    better: Sequence[Improved],
    now: datetime,
) -> CoachDayShown:
    """Lay out a coach's day; without ``review`` only what changes by the minute."""
    waiting = found.waiting_for_consent
    consent = ngettext(
        "{number} child waits for a guardian’s consent.",
        "{number} children wait for a guardian’s consent.",
        waiting,
    ).format(number=waiting)
    return CoachDayShown(
        sets=tuple(show_coach_set(viewer, one, now) for one in found.sets),
        losses=_losses(found.losses, viewer.club.slug),
        newcomers=_waiting(found.newcomers),
        new_members=_new_members(found.newcomers, viewer, now),
        consent=consent if waiting else "",
        causes=_causes(viewer, found.lost_to, review) if review else None,
        first_need=_first_need(viewer, review) if review else None,
        improved=show_improved(better, viewer.club.slug, clock.local_date(now, viewer.club.zone))
        if review
        else None,
    )


def _waiting(newcomers: Sequence[Newcomer]) -> str:
    names = [one.member for one in newcomers if one.waits]
    if not names:
        return ""
    return ngettext(
        "{names} has joined and waits to be let in.",
        "{names} have joined and wait to be let in.",
        len(names),
    ).format(names=listed(names))


def _new_members(newcomers: Sequence[Newcomer], viewer: Membership, now: datetime) -> str:
    zone = viewer.club.zone
    today = clock.local_date(now, zone)
    lines = [
        _("{name} ({when})").format(
            name=one.member, when=say_day(clock.local_date(one.since, zone), today)
        )
        for one in newcomers
        if not one.waits
    ]
    return _("New in the last days: {names}.").format(names=listed(lines)) if lines else ""


def show_coach_set(viewer: Membership, one: CoachSet, now: datetime) -> CoachSetShown:
    """Lay out one set with everybody's plans, newest first."""
    newest_first = sorted(one.handed_in, key=lambda day: day.last_at or now, reverse=True)
    return CoachSetShown(
        id=one.head.id,
        line=set_line(one.head, now, viewer.club.zone),
        headline=_("{handed_in} of {expected} have handed in").format(
            handed_in=len(one.handed_in), expected=one.expected
        ),
        missing=_missing(one),
        everybody_in=bool(one.expected) and not one.missing,
        members=tuple(_member(viewer, day, len(one.scrambles), now) for day in newest_first),
        columns=tuple(range(1, len(one.scrambles) + 1)) if one.plans_open else (),
        plans_open=one.plans_open,
        own_href=reverse("set", args=[viewer.club.slug, one.head.id]),
        waiting=_("{plans} being checked.").format(plans=count(one.waiting, "plan"))
        if one.waiting
        else "",
        failed=ngettext(
            "{number} plan could not be checked: open it and have it checked again.",
            "{number} plans could not be checked: open each and have it checked again.",
            one.failed,
        ).format(number=one.failed)
        if one.failed
        else "",
    )


def _missing(one: CoachSet) -> str:
    if not one.missing:
        return ""
    names = listed([day.member for day in one.missing])
    if one.head.has_closed:
        return _("Nothing came from {names}.").format(names=names)
    return _("Still to come: {names}.").format(names=names)


def _member(viewer: Membership, day: MemberDay, scrambles: int, now: datetime) -> MemberPlans:
    by_number = {plan.number: plan for plan in day.plans}
    cells = tuple(
        _cell(viewer, by_number[number], day.member) if number in by_number else None
        for number in range(1, scrambles + 1)
    )
    return MemberPlans(
        member=day.member,
        last=say_short(day.last_at, now, viewer.club.zone) if day.last_at else None,
        handed_in=of(day.handed_in, scrambles),
        lost="" if day.excess is None else str(day.excess),
        cells=cells if day.plans else (),
    )


def _cell(viewer: Membership, plan: PlanView, member: str) -> PlanCell:
    report = plan.report
    rule = None
    if report is not None and plan.state in (State.CHECKED, State.NOT_SOLVED):
        rule = eight_rule(report.best, report.moves if report.solved else None, kind="line")
        if report.excess is None:
            text = _("no plan") if plan.no_plan else _("not solved")
        else:
            text = _("best") if report.excess == 0 else f"+{report.excess}"
    else:
        words = {State.WAITING: _("being checked"), State.FAILED: _("not checked")}
        text = words.get(plan.state, _("withdrawn"))
    return PlanCell(
        id=plan.id,
        href=reverse("coach_plan", args=[viewer.club.slug, plan.id]),
        rule=rule,
        text=text,
        whose=_("{member}, scramble {number}").format(member=member, number=plan.number),
    )


def _losses(losses: Sequence[MemberLoss], slug: str) -> tuple[LossShown, ...]:
    most = max((one.lost for one in losses), default=0)
    return tuple(
        LossShown(
            id=one.membership_id,
            member=one.member,
            href=reverse("coach_member", args=[slug, one.membership_id]),
            lost=_lost(one),
            bar=loss_bar(one.lost, most) if one.solved else None,
            plans=one.plans,
            solved=one.solved,
            exact=one.exact,
        )
        for one in losses
    )


def _lost(one: MemberLoss) -> str:
    if one.solved:
        return str(one.lost)
    return _("none solved") if one.plans else _("no plans")


def _causes(
    viewer: Membership, lost_to: Sequence[CauseLoss], review: GroupReview
) -> tuple[CauseShown, ...]:
    """The week's moves by cause, each technique with who likely needs it by the last weeks."""
    lines: tuple[GroupLine | HabitLine, ...] = (*review.techniques, *review.habits)
    needs = {one.code: one for one in lines}
    lost: dict[str, float] = defaultdict(float)
    for one in lost_to:
        lost[_SPARE if one.code in SPARE else one.code] += one.lost
    most = max(lost.values(), default=0.0)
    shown = []
    for code, moves in sorted(lost.items(), key=lambda pair: -pair[1]):
        line = needs.get(code)
        shown.append(
            CauseShown(
                name=_("spare moves") if code == _SPARE else name_of(code),
                href="" if code == _SPARE else reverse("lesson", args=[viewer.club.slug, code]),
                lost=share(moves),
                bar=loss_bar(moves, most),
                need=_("not an idea") if code == _SPARE else _who(line, review),
                certain=line is not None and line.stands_out,
            )
        )
    return tuple(shown)


def _who(line: GroupLine | HabitLine | None, review: GroupReview) -> str:
    if line is None or isinstance(line, HabitLine):
        # A habit that has cost nothing in sets that have closed has no line there yet.
        return habit_words(line.members if line else ())
    words = need_words(line.lacking, line.group_lacks, review.target)
    return words or flag_words(Flag.UNKNOWN)


def _first_need(viewer: Membership, review: GroupReview) -> FirstNeed | None:
    """What the next lesson is about; None while nothing stands out."""
    first = review.next_lesson
    if first is None:
        return None
    name = name_of(first.code)
    return FirstNeed(
        name=name,
        href=reverse("lesson", args=[viewer.club.slug, first.code]),
        why=_(
            "Of what stands out over the last {weeks}, a lesson on {idea} could save most: "
            "up to {points} a week."
        ).format(weeks=count(review.weeks, "week"), idea=name, points=points_words(first.need)),
    )
