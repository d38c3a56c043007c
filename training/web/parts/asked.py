"""Questions to the coach with their answers, for who asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from training.models import Corrected
from training.selectors.questions import QuestionView
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class AskedShown:
    """A question and what was answered; ``answer`` is empty while it waits."""

    number: int
    words: str
    when: Said
    answer: str
    answered: str
    corrected: str


def show_asked(
    found: Iterable[QuestionView], now: datetime, zone: ZoneInfo
) -> tuple[AskedShown, ...]:
    """Lay out some questions."""
    return tuple(_show(one, now, zone) for one in found)


def _show(one: QuestionView, now: datetime, zone: ZoneInfo) -> AskedShown:
    answered = ""
    if one.answered_at is not None:
        answered = _("{name} answered {when}.").format(
            name=one.answered_by or _("A former member"),
            when=say(one.answered_at, now, zone).text,
        )
    return AskedShown(
        number=one.number,
        words=one.words,
        when=say(one.asked_at, now, zone),
        answer=one.answer,
        answered=answered,
        corrected=corrected_words(one.correction),
    )


def corrected_words(kind: str) -> str:
    """What an answer led to; empty where it led to no correction."""
    said = {
        Corrected.ROTATION: _("The forgotten rotation is accepted."),
        Corrected.PLAN_WITHDRAWN: _("The plan is withdrawn."),
        Corrected.TIME_EXCUSED: _("The time is excused."),
        Corrected.SCRAMBLE_VOID: _("The scramble counts for nobody."),
    }
    return said[Corrected(kind)] if kind else ""
