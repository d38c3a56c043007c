"""Questions to the coach about a verdict or a scramble, and their answers."""

from __future__ import annotations

from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import challenging, rights, visibility
from training.models import (
    LONGEST_QUESTION,
    Corrected,
    Correction,
    Membership,
    Plan,
    Question,
    Scramble,
)
from training.refusals import InvalidEntry, NoLongerPossible
from training.services import corrections
from training.services.validating import require_storable

CORRECTIONS = (
    Corrected.ROTATION,
    Corrected.PLAN_WITHDRAWN,
    Corrected.TIME_EXCUSED,
    Corrected.SCRAMBLE_VOID,
)
"""What an answer can carry: a correction of the plan, or of the scramble for all."""


def ask(*, by: Membership, scramble: Scramble, words: str, now: datetime | None = None) -> Question:
    """Ask the coaches about a scramble, and the own plan for it if one is in.

    Nobody else reads it. Raises Sealed for a set that is not there for ``by``,
    InvalidEntry, or NoLongerPossible while an earlier one about it waits.
    """
    now = now or timezone.now()
    rights.require_enter(by)
    visibility.require_set(by, scramble.scramble_set, now)
    words = _written(words, "words")
    waiting = Question.objects.waiting().filter(membership=by)
    if waiting.count() >= challenging.MOST_WAITING:
        raise NoLongerPossible(
            _("{number} of your questions wait already. Wait for an answer first.").format(
                number=challenging.MOST_WAITING
            )
        )
    try:
        with transaction.atomic():
            return Question.objects.create(
                membership=by, scramble=scramble, words=words, asked_at=now
            )
    except IntegrityError:
        raise NoLongerPossible(
            _("Your question about this scramble waits for its answer already.")
        ) from None


def answer(
    *,
    question: Question,
    by: Membership,
    words: str,
    correction: str = "",
    reason: str = "",
    now: datetime | None = None,
) -> Question:
    """Answer a question.

    With a ``correction`` of :data:`CORRECTIONS` that is made at once, too: both or
    none. Raises NotAllowed unless :func:`training.rights.may_answer`, Sealed for a
    question that ``by`` may not read, NoLongerPossible for one that another has
    answered, and as :mod:`training.services.corrections`.
    """
    now = now or timezone.now()
    rights.require_coach(by, club_id=question.membership.club_id)
    coaches = Membership.objects.open().coaching().filter(club=by.club_id)
    others = coaches.exclude(pk=by.pk).exists()
    rights.require_answer(by, own=question.membership_id == by.pk, others=others)
    visibility.require_question(by, question, now)
    words = _written(words, "answer")
    with transaction.atomic():
        # One answer at a time; the row's own condition decides where rows cannot be locked.
        row = Question.objects.select_for_update(of=("self",)).select_related(
            "membership", "answered_by", "scramble__scramble_set__club"
        )
        question = row.get(pk=question.pk)
        challenging.require_waiting(question)
        # First the correction: the answer to the last question lets a result stand.
        entry = _correct(question, by, correction, reason, now) if correction else None
        mine = Question.objects.filter(pk=question.pk).waiting()
        if mine.update(answer=words, answered_at=now, answered_by=by, correction=entry) != 1:
            raise NoLongerPossible(_("Somebody has just answered this question."))
    question.refresh_from_db()
    return question


def _correct(
    question: Question, by: Membership, kind: str, reason: str, now: datetime
) -> Correction:
    if kind not in CORRECTIONS:
        raise InvalidEntry(_("Choose the correction from the list."), field="correction")
    if kind == Corrected.SCRAMBLE_VOID:
        return corrections.void_scramble(scramble=question.scramble, by=by, reason=reason, now=now)
    plan = (
        Plan.objects.filter(scramble=question.scramble, membership=question.membership)
        .select_related("verdict", "membership", "scramble__scramble_set__club")
        .first()
    )
    if plan is None:
        raise InvalidEntry(_("There is no plan to correct."), field="correction")
    if kind == Corrected.ROTATION:
        return corrections.accept_rotation(plan=plan, by=by, reason=reason, now=now)
    if kind == Corrected.TIME_EXCUSED:
        return corrections.excuse_time(plan=plan, by=by, reason=reason, now=now)
    return corrections.withdraw_plan(plan=plan, by=by, reason=reason, now=now)


def _written(words: str, field: str) -> str:
    words = require_storable(words, field)
    if not words:
        raise InvalidEntry(_("Write a few words."), field=field)
    if len(words) > LONGEST_QUESTION:
        raise InvalidEntry(
            _("At most {most} characters.").format(most=LONGEST_QUESTION), field=field
        )
    return words
