"""Questions as they are read: the own by a member, all of the club by its coaches."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from training import visibility
from training.models import Membership, Plan, Question
from training.models.questions import QuestionQuerySet
from training.prepared import LARGE, SMALL, Prepared
from training.selectors.set_heads import load_named, title_of
from training.visibility import Sealed


@dataclass(frozen=True, slots=True)
class QuestionView:
    """A question about a scramble, and what was answered.

    ``plan_id``: of the plan for it by who asked, None without one; ``plan``: its moves.
    ``correction``: the kind of the entry that the answer led to; empty without one.
    """

    id: int
    membership_id: int
    member: str
    set_id: int
    set_title: str
    day: date
    number: int
    scramble: str
    plan_id: int | None
    plan: str
    words: str
    asked_at: datetime
    answer: str
    answered_at: datetime | None
    answered_by: str
    correction: str


def own_questions(
    viewer: Membership, now: datetime, *, set_id: int, number: int | None = None
) -> list[QuestionView]:
    """What ``viewer`` asked about a set, or one scramble of it, and what was answered."""
    if number is None:
        return _views(_own_of_set(viewer.pk, set_id))
    return _views(_own_of_scramble(viewer.pk, set_id, number))


_own_of_set = Prepared(
    lambda member, set_id: _told(
        Question.objects.filter(membership=member, scramble__scramble_set=set_id)
    ),
    *(LARGE, LARGE),
)
_own_of_scramble = Prepared(
    lambda member, set_id, number: _told(
        Question.objects.filter(
            membership=member, scramble__scramble_set=set_id, scramble__number=number
        )
    ),
    *(LARGE, LARGE, SMALL),
)


def questions_to_answer(viewer: Membership, now: datetime) -> list[QuestionView]:
    """The club's questions that wait, the oldest at the head. Raises Sealed for no coach."""
    visibility.require_group(viewer)
    return _views(_told(visibility.questions(viewer, now).waiting()))


def answered_lately(viewer: Membership, now: datetime, *, count: int = 20) -> list[QuestionView]:
    """The club's questions that were answered last. Raises Sealed for no coach."""
    visibility.require_group(viewer)
    found = visibility.questions(viewer, now).exclude(answered_at=None)
    return _views(_told(found.order_by("-answered_at")[:count]))


def waiting_count(viewer: Membership, now: datetime) -> int:
    """How many questions wait that ``viewer`` may read as a coach. One query."""
    visibility.require_group(viewer)
    return visibility.questions(viewer, now).waiting().count()


def question_for(viewer: Membership, question_id: int, now: datetime) -> Question:
    """One question that ``viewer`` may read. Raises Sealed."""
    found = visibility.questions(viewer, now).filter(pk=question_id)
    question = found.select_related("membership", "scramble__scramble_set", "answered_by").first()
    if question is None:
        raise Sealed
    return question


def view_of(question: Question) -> QuestionView:
    """One question as it is read."""
    return _views(_told(Question.objects.filter(pk=question.pk)))[0]


def _told(found: QuestionQuerySet) -> QuestionQuerySet:
    return found.select_related("membership", "scramble__scramble_set", "answered_by", "correction")


def _views(found: Iterable[Question]) -> list[QuestionView]:
    rows = list(found)
    if not rows:
        return []
    load_named(row.scramble.scramble_set for row in rows)
    plans = {
        (one.scramble_id, one.membership_id): one
        for one in Plan.objects.filter(
            scramble__in=[row.scramble_id for row in rows],
            membership__in=[row.membership_id for row in rows],
        )
    }
    return [_view(row, plans.get((row.scramble_id, row.membership_id))) for row in rows]


def _view(row: Question, plan: Plan | None) -> QuestionView:
    of_set = row.scramble.scramble_set
    return QuestionView(
        id=row.pk,
        membership_id=row.membership_id,
        member=row.membership.display_name,
        set_id=of_set.pk,
        set_title=title_of(of_set),
        day=of_set.day,
        number=row.scramble.number,
        scramble=row.scramble.text,
        plan_id=None if plan is None else plan.pk,
        plan="" if plan is None else plan.canonical,
        words=row.words,
        asked_at=row.asked_at,
        answer=row.answer,
        answered_at=row.answered_at,
        answered_by=row.answered_by.display_name if row.answered_by is not None else "",
        correction=row.correction.kind if row.correction is not None else "",
    )
