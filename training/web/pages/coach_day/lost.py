"""What the week's moves were lost to, by member and by cause, laid out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from solverworker.causes.residues import SPARE
from training.headings import name_of
from training.models import Membership
from training.selectors.coach import CauseLoss, MemberLoss
from training.selectors.group_reviews import GroupLine, GroupReview, HabitLine
from training.web.pictures.bar import Bar, loss_bar
from training.web.saying.counting import count
from training.web.saying.needs import habit_words, need_words
from training.web.saying.rates import flag_words, points_words, share
from training.yardsticks import Flag

_SPARE = "spare"
"""All spare moves, in one line: there is no lesson for them."""


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


def show_losses(losses: Sequence[MemberLoss], slug: str) -> tuple[LossShown, ...]:
    """Members by the moves that their plans lost this week."""
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


def show_causes(
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


def show_first_need(viewer: Membership, review: GroupReview) -> FirstNeed | None:
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
