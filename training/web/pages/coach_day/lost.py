"""What the week has cost so far, by member and by heading, laid out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from solverworker.causes import IDEAS
from solverworker.causes.residues import COLOUR_CHOICE, SPARE
from training.account import Missing
from training.headings import name_of
from training.models import Membership
from training.selectors.group_reviews import HABITS, GroupLine, GroupReview, HabitLine
from training.selectors.week_costs import HeadingCost, MemberCost
from training.web.pictures.bar import Bar, loss_bar
from training.web.saying.counting import count, listed
from training.web.saying.needs import habit_words, need_words
from training.web.saying.rates import flag_words, points_words
from training.web.saying.rates import points as points_of
from training.yardsticks import Flag

_SPARE = "spare"
"""All spare moves, in one line: there is no lesson for them."""

MOST_NAMES = 4

_TO_DO = {
    Missing.NOT_HANDED_IN: gettext_lazy(
        "Ask what keeps them from it: the hour, the phone, too many crosses a day?"
    ),
    Missing.NO_PLAN: gettext_lazy(
        "Shorter crosses first: a practice has them at each one’s level."
    ),
    Missing.OUT_OF_TIME: gettext_lazy(
        "Let them inspect with the 15 seconds at practice: a short plan in time is worth more."
    ),
    COLOUR_CHOICE.code: gettext_lazy(
        "Let them count the moves of both colours before they choose one."
    ),
}
"""What a coach does about what is no idea and no slip; the lesson says it of the others."""


@dataclass(frozen=True, slots=True)
class LossShown:
    """What the week has cost one member; ``href`` leads to the member's progress.

    ``lost`` is a number of points where ``bar`` is drawn, else why there is none.
    """

    id: int
    member: str
    href: str
    lost: str
    bar: Bar | None
    crosses: int
    solved: int
    exact: int


@dataclass(frozen=True, slots=True)
class CauseShown:
    """What the week's points went to.

    ``href`` leads to the lesson, empty where there is none; ``to_do``: one thing to do about it,
    empty where the lesson says it. ``need``: whom it concerns.
    """

    name: str
    href: str
    lost: str
    bar: Bar
    to_do: str
    need: str
    certain: bool


@dataclass(frozen=True, slots=True)
class FirstNeed:
    """The idea that the group needs first; ``why`` says over which weeks."""

    name: str
    href: str
    why: str


def show_losses(costs: Sequence[MemberCost], slug: str) -> tuple[LossShown, ...]:
    """Members by what the week has cost them."""
    most = max((one.points for one in costs), default=0)
    return tuple(
        LossShown(
            id=one.membership_id,
            member=one.member,
            href=reverse("coach_member", args=[slug, one.membership_id]),
            lost=str(one.points) if one.crosses else _("nothing yet"),
            bar=loss_bar(one.points, most) if one.crosses else None,
            crosses=one.crosses,
            solved=one.solved,
            exact=one.exact,
        )
        for one in costs
    )


def show_causes(
    viewer: Membership, costs: Sequence[HeadingCost], review: GroupReview
) -> tuple[CauseShown, ...]:
    """The week's points by heading, each with whom it concerns and what to do about it."""
    lines: tuple[GroupLine | HabitLine, ...] = (*review.techniques, *review.habits)
    needs = {one.code: one for one in lines}
    found: dict[str, list[HeadingCost]] = defaultdict(list)
    for one in costs:
        found[_SPARE if one.code in SPARE else one.code].append(one)
    sums = {code: sum((one.points for one in of), Fraction(0)) for code, of in found.items()}
    most = float(max(sums.values(), default=0))
    shown = []
    for code, points in sorted(sums.items(), key=lambda pair: -pair[1]):
        line = needs.get(code)
        has_lesson = code in IDEAS or code in HABITS
        shown.append(
            CauseShown(
                name=_("spare moves") if code == _SPARE else name_of(code),
                href=reverse("lesson", args=[viewer.club.slug, code]) if has_lesson else "",
                lost=points_of(points),
                bar=loss_bar(float(points), most),
                to_do=str(_TO_DO.get(code, "")),
                need=_who(line, review) if has_lesson else _whom(code, found[code]),
                certain=line is not None and line.stands_out,
            )
        )
    return tuple(shown)


def _whom(code: str, costs: Sequence[HeadingCost]) -> str:
    """Whom something concerns for which there is no lesson: names, those it cost most first."""
    if code == _SPARE:
        return _("not an idea")
    names = costs[0].members
    if len(names) <= MOST_NAMES:
        return listed(names)
    others = len(names) - MOST_NAMES
    more = ngettext("{number} more", "{number} more", others).format(number=others)
    return listed((*names[:MOST_NAMES], more))


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
