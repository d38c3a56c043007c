"""Questions laid out for coaches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership
from training.selectors.questions import QuestionView
from training.selectors.set_heads import title_beside_day
from training.web.parts.asked import corrected_words
from training.web.saying.sets import which_scramble
from training.web.saying.times import Said, say, say_date


@dataclass(frozen=True, slots=True)
class QuestionShown:
    """One question; ``plan_href`` is empty without a plan; ``answering``: its form came back."""

    id: int
    member: str
    about: str
    scramble: str
    plan: str
    plan_href: str
    words: str
    when: Said
    answer: str
    answered: str
    answering: bool


@dataclass(frozen=True, slots=True)
class QuestionsShown:
    """What ``pages/questions/questions.html`` needs."""

    waiting: tuple[QuestionShown, ...]
    answered: tuple[QuestionShown, ...]


def show_questions(
    viewer: Membership,
    waiting: Sequence[QuestionView],
    answered: Sequence[QuestionView],
    now: datetime,
    *,
    answering: int,
) -> QuestionsShown:
    """Lay out what waits, and what was answered last."""
    return QuestionsShown(
        waiting=tuple(_show(viewer, one, now, answering) for one in waiting),
        answered=tuple(_show(viewer, one, now, 0) for one in answered),
    )


def _show(viewer: Membership, one: QuestionView, now: datetime, answering: int) -> QuestionShown:
    zone = viewer.club.zone
    answered = ""
    if one.answered_at is not None:
        answered = _("{name} answered {when}.").format(
            name=one.answered_by or _("A former member"),
            when=say(one.answered_at, now, zone).text,
        )
        answered = f"{answered} {corrected_words(one.correction)}".strip()
    return QuestionShown(
        id=one.id,
        member=one.member,
        about=which_scramble(
            say_date(one.day, clock.local_date(now, zone)),
            one.number,
            title_beside_day(one.set_title, one.day),
        ),
        scramble=one.scramble,
        plan=one.plan or (_("no moves") if one.plan_id else ""),
        plan_href=reverse("coach_plan", args=[viewer.club.slug, one.plan_id])
        if one.plan_id
        else "",
        words=one.words,
        when=say(one.asked_at, now, zone),
        answer=one.answer,
        answered=answered,
        answering=one.id == answering,
    )
