"""A member's own practice: today's, if it was begun, and what comes back when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Sum

from training import clock
from training.ladder import OF_LAST, TOP, Ladder, ladder_of, rung_of_reach, seen_to
from training.models import Kind, Membership, PracticeDue, ScrambleSet, TechniqueCount, Verdict
from training.selectors.plans import SetView, set_for
from training.selectors.reviews import MemberReview, member_review

MOST_TECHNIQUES = 2


@dataclass(frozen=True, slots=True)
class DueLine:
    """A technique that comes back; ``step``: how often it was answered since the last miss."""

    code: str
    due_on: date
    step: int


@dataclass(frozen=True, slots=True)
class PracticeView:
    """``today`` is None until the member begins. ``to_come``: crosses still being drawn.

    ``codes``: the techniques that today's practice is drawn to; ``ladder``: how
    long its crosses are and how far the next rung is, None before it begins.
    """

    today: SetView | None
    to_come: int
    codes: tuple[str, ...]
    due_now: tuple[DueLine, ...]
    due_later: tuple[DueLine, ...]
    ladder: Ladder | None = None

    @property
    def done(self) -> bool:
        return self.today is not None and not self.to_come and not self.today.to_plan


def practice_of(member: Membership, now: datetime) -> PracticeView:
    """The practice page of one member."""
    day = clock.local_date(now, member.club.zone)
    due = [DueLine(one.code, one.due_on, one.step) for one in due_by_loss(member)]
    row = ScrambleSet.objects.practice_of(member).opened(now).filter(day=day).first()
    view = set_for(member, row.pk, now) if row else None
    due_now = tuple(one for one in due if one.due_on <= day)
    profile = row.drawn_to if row else None
    if row:
        codes = profile.techniques if profile else ()
    else:
        codes = tuple(one.code for one in due_now)[:MOST_TECHNIQUES]
        codes = codes or codes_to_work_on(_review(member, now))
    rung = profile.lengths[0] if profile and profile.lengths else None
    return PracticeView(
        today=view,
        to_come=max(0, row.scrambles_wanted - len(view.scrambles)) if row and view else 0,
        codes=codes,
        due_now=due_now,
        due_later=tuple(sorted((one for one in due if one.due_on > day), key=_day_of)),
        ladder=tried_on(member, rung) if rung else None,
    )


def _day_of(one: DueLine) -> date:
    return one.due_on


def due_by_loss(member: Membership) -> list[PracticeDue]:
    """What comes back, the idea first to which the member lost most moves; ties by day."""
    lost = dict(
        TechniqueCount.objects.counting()
        .filter(membership=member)
        .values_list("code")
        .annotate(sum=Sum("lost"))
    )
    due = PracticeDue.objects.filter(membership=member).select_related("missed_plan__scramble")
    return sorted(due, key=lambda one: (-lost.get(one.code, 0.0), one.due_on, one.code))


def plan_of_practice(member: Membership, now: datetime) -> tuple[tuple[str, ...], Ladder]:
    """What a member's own review names (practised while nothing is due), and the level."""
    review = _review(member, now)
    start = rung_of_reach(seen_to(review.account.reach.at_least))
    before = ScrambleSet.objects.practice_of(member).order_by("-day").first()
    profile = before.drawn_to if before else None
    climbed = profile.lengths[0] if profile and profile.lengths else 0
    level = _climbed(member, climbed) if climbed else Ladder(start, 0, 0)
    if level.rung < start:
        level = Ladder(start, 0, 0)
    return codes_to_work_on(review), level


def _climbed(member: Membership, rung: int) -> Ladder:
    return ladder_of(rung, _exact_at(member, rung))


def tried_on(member: Membership, rung: int) -> Ladder:
    """How many of the latest plans of own practice were exact on a rung, which stays."""
    last = _exact_at(member, rung)
    return Ladder(rung, len(last), sum(last))


def _exact_at(member: Membership, rung: int) -> list[bool]:
    """Whether the latest plans for practice crosses of a rung were exact, the newest first."""
    found = Verdict.objects.filter(
        plan__membership=member,
        plan__scramble__scramble_set__for_member=member,
        plan__scramble__scramble_set__kind=Kind.PRACTICE,
        best__in=Ladder(rung, 0, 0).lengths if rung == TOP else (rung,),
    ).order_by("-plan__handed_in_at", "-plan")
    return [excess == 0 for excess in found.values_list("excess", flat=True)[:OF_LAST]]


def _review(member: Membership, now: datetime) -> MemberReview:
    return member_review(member, now, viewer=member, most_examples=0)


def codes_to_work_on(review: MemberReview) -> tuple[str, ...]:
    """What a member's own review names: practised while nothing is due."""
    return tuple(one.code for one in review.to_work_on[:MOST_TECHNIQUES])
