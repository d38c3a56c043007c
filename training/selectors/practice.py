"""A member's own practice: today's, if it was begun, and what comes back when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from training import clock
from training.models import Membership, PracticeDue, ScrambleSet
from training.selectors.plans import SetView, set_for
from training.selectors.reviews import member_review

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

    ``codes``: the techniques that today's practice is drawn to.
    """

    today: SetView | None
    to_come: int
    codes: tuple[str, ...]
    due_now: tuple[DueLine, ...]
    due_later: tuple[DueLine, ...]

    @property
    def done(self) -> bool:
        return self.today is not None and not self.to_come and not self.today.to_plan


def practice_of(member: Membership, now: datetime) -> PracticeView:
    """The practice page of one member."""
    day = clock.local_date(now, member.club.zone)
    due = [
        DueLine(one.code, one.due_on, one.step)
        for one in PracticeDue.objects.filter(membership=member)
    ]
    row = ScrambleSet.objects.practice_of(member).opened(now).filter(day=day).first()
    view = set_for(member, row.pk, now) if row else None
    due_now = tuple(one for one in due if one.due_on <= day)
    if row:
        codes = row.drawn_to.techniques if row.drawn_to else ()
    else:
        codes = tuple(one.code for one in due_now)[:MOST_TECHNIQUES]
        codes = codes or codes_to_work_on(member, now)
    return PracticeView(
        today=view,
        to_come=max(0, row.scrambles_wanted - len(view.scrambles)) if row and view else 0,
        codes=codes,
        due_now=due_now,
        due_later=tuple(one for one in due if one.due_on > day),
    )


def codes_to_work_on(member: Membership, now: datetime) -> tuple[str, ...]:
    """What the member's own review names: practised while nothing is due."""
    review = member_review(member, now, viewer=member, most_examples=0)
    return tuple(one.code for one in review.to_work_on[:MOST_TECHNIQUES])
