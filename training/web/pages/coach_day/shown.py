"""A coach's day laid out: who handed in, who did not, what was lost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training import clock
from training.models import Membership
from training.selectors.attempts import CubeThatDiffers
from training.selectors.challenges import ChallengeHead
from training.selectors.coach import CoachSet, MemberDay, Newcomer, Overview
from training.selectors.group_reviews import GroupReview
from training.selectors.improvements import Improved
from training.selectors.plans import PlanView, State
from training.selectors.quiet import Quiet
from training.selectors.set_heads import SetHead
from training.web.navigation import Link
from training.web.pages.coach_day.improved import ImprovedShown, show_improved
from training.web.pages.coach_day.lost import (
    CauseShown,
    FirstNeed,
    LossShown,
    show_causes,
    show_first_need,
    show_losses,
)
from training.web.parts.challenge_line import ChallengeLine, challenge_lines
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.challenges import waiting_words
from training.web.saying.counting import count, listed
from training.web.saying.inspections import marks, time_words
from training.web.saying.rates import of
from training.web.saying.sets import SetLine, set_line
from training.web.saying.times import Said, say_date, say_day, say_short


@dataclass(frozen=True, slots=True)
class PlanCell:
    """One plan in the list of a set: a small rule with words, leading to the plan.

    ``time``: of inspection, with what is noted beside it; empty for none. ``whose``: the
    member and the scramble, for those who hear the table.
    """

    id: int
    href: str
    rule: EightRule | None
    text: str
    time: str
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
    ``differs``: whose cube does not look like the picture.
    ``read_href``: the first plan, from which the next leads on; empty where none may be read.
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
    read_href: str
    differs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QuietShown:
    """Somebody from whom nothing came of late; ``last``: the day of the last plan, in words."""

    member: str
    href: str
    last: str


@dataclass(frozen=True, slots=True)
class CoachDayShown:
    """What ``pages/coach_day/coach_day.html`` needs.

    ``around``: to the set before. ``newcomers``: who waits to be let in; ``new_members``: who came
    in the last days; ``quiet``: from whom nothing came of late. ``causes`` is None where the
    page asks for what changes by the minute alone.
    """

    sets: tuple[CoachSetShown, ...]
    losses: tuple[LossShown, ...]
    newcomers: str
    new_members: str
    consent: str
    quiet: tuple[QuietShown, ...]
    around: tuple[Link, ...]
    challenges: tuple[ChallengeLine, ...]
    questions: str
    causes: tuple[CauseShown, ...] | None
    first_need: FirstNeed | None
    improved: ImprovedShown | None


def show_coach_day(
    viewer: Membership,
    found: Overview,
    before: SetHead | None,
    review: GroupReview | None,
    better: Sequence[Improved],
    now: datetime,
    *,
    challenges: Sequence[ChallengeHead] = (),
    questions: int = 0,
    cubes: Sequence[CubeThatDiffers] = (),
) -> CoachDayShown:
    """Lay out a coach's day; without ``review`` only what changes by the minute."""
    waiting = found.waiting_for_consent
    consent = ngettext(
        "{number} child waits for a guardian’s consent.",
        "{number} children wait for a guardian’s consent.",
        waiting,
    ).format(number=waiting)
    return CoachDayShown(
        sets=tuple(show_coach_set(viewer, one, now, cubes) for one in found.sets),
        losses=show_losses(found.cost.members, viewer.club.slug),
        newcomers=_waiting(found.newcomers),
        new_members=_new_members(found.newcomers, viewer, now),
        consent=consent if waiting else "",
        quiet=tuple(_quiet(one, viewer, now) for one in found.quiet),
        around=around_links(viewer, (before, None), now),
        challenges=challenge_lines(viewer, challenges, now),
        questions=waiting_words(questions),
        causes=show_causes(viewer, found.cost.headings, review) if review else None,
        first_need=show_first_need(viewer, review) if review else None,
        improved=show_improved(better, viewer.club.slug, clock.local_date(now, viewer.club.zone))
        if review
        else None,
    )


def _quiet(one: Quiet, viewer: Membership, now: datetime) -> QuietShown:
    zone = viewer.club.zone
    today = clock.local_date(now, zone)
    return QuietShown(
        member=one.member,
        href=reverse("coach_member", args=[viewer.club.slug, one.membership_id]),
        last=_("no plan so far")
        if one.last_at is None
        else _("last plan: {day}").format(day=say_day(clock.local_date(one.last_at, zone), today)),
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


def around_links(
    viewer: Membership, around: tuple[SetHead | None, SetHead | None], now: datetime
) -> tuple[Link, ...]:
    """The ways to the coach's pages of the sets before and after."""
    today = clock.local_date(now, viewer.club.zone)
    words = (_("The one before: {set}, {day}"), _("The one after: {set}, {day}"))
    return tuple(
        Link(
            said.format(set=one.title, day=say_date(one.day, today)),
            reverse("coach_set", args=[viewer.club.slug, one.id]),
            False,
        )
        for said, one in zip(words, around, strict=True)
        if one is not None
    )


def show_coach_set(
    viewer: Membership, one: CoachSet, now: datetime, cubes: Iterable[CubeThatDiffers]
) -> CoachSetShown:
    """Lay out one set with everybody's plans, newest first. ``cubes``: of any set."""
    newest_first = sorted(one.handed_in, key=lambda day: day.last_at or now, reverse=True)
    return CoachSetShown(
        id=one.head.id,
        line=set_line(one.head, now, viewer.club.zone),
        headline=_handed_in(one),
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
        read_href=_first_plan(viewer, one),
        differs=tuple(
            _("The cube of {member} differs from the picture of scramble {number}.").format(
                member=cube.member, number=cube.number
            )
            for cube in cubes
            if cube.set_id == one.head.id
        ),
    )


def _first_plan(viewer: Membership, one: CoachSet) -> str:
    """The plan with which reading begins, as :func:`selectors.earlier.reading_order` has it."""
    plans = [plan for day in one.handed_in for plan in day.plans]
    if not plans:
        return ""
    first = min(plans, key=lambda plan: (plan.number, plan.member.lower(), plan.id))
    return reverse("coach_plan", args=[viewer.club.slug, first.id])


def _handed_in(one: CoachSet) -> str:
    if not one.expected and not one.handed_in:
        return _("Nobody to hand in yet")
    return _("{handed_in} of {expected} have handed in").format(
        handed_in=len(one.handed_in), expected=one.expected
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
        if report.excess is None:
            text = _("no plan") if plan.no_plan else _("not solved")
        else:
            # As in the tables: a rule for what solves, words for the rest.
            rule = eight_rule(report.best, report.moves, kind="line")
            text = _("best") if report.excess == 0 else f"+{report.excess}"
        if plan.out_of_time and report.excess is not None:
            text = _("{excess}, out of time").format(excess=text)
    else:
        words = {State.WAITING: _("being checked"), State.FAILED: _("not checked")}
        text = words.get(plan.state, _("withdrawn"))
    return PlanCell(
        id=plan.id,
        href=reverse("coach_plan", args=[viewer.club.slug, plan.id]),
        rule=rule,
        text=text,
        time=", ".join([*filter(None, [time_words(plan.inspection)]), *marks(plan.inspection)]),
        whose=_("{member}, scramble {number}").format(member=member, number=plan.number),
    )
