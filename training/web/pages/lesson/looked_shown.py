"""What changed since a lesson, laid out beside the numbers that it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from training.lesson_effect import COMPARED_WEEKS, SHOWN_WEEKS
from training.selectors.given_lessons import GivenLesson
from training.selectors.lesson_changes import LessonLooked
from training.selectors.reviews import TECHNIQUES
from training.web.saying.counting import count
from training.web.saying.lessons import change_said, homework_said, sharing_said, told


@dataclass(frozen=True, slots=True)
class LookedShown:
    """Before and after a lesson in counts, and what may be said of it.

    ``homework`` and ``sharing`` are sentences, empty where there is nothing to say.
    """

    before: str
    after: str
    change: str
    homework: str
    sharing: str


def show_looked(
    looked: LessonLooked, code: str, others: Sequence[GivenLesson], today: date
) -> LookedShown:
    """Lay out what was looked at since a lesson."""
    return LookedShown(
        before=told(looked.taught.before, code),
        after=told(looked.taught.after, code),
        change=change_said(looked.change, code),
        homework=homework_said(looked, code),
        sharing=sharing_said(others, today),
    )


def compared_words(code: str) -> str:
    """Which weeks are compared, of whom, and with what."""
    weeks = {
        "compared": count(COMPARED_WEEKS, "week"),
        "shown": count(SHOWN_WEEKS, "week"),
    }
    return " ".join(
        (
            _(
                "Before and since: random sets, {compared} each, of those taught who planned in "
                "both. A lesson follows a bad month, and after one the next is better by itself, "
                "so the {shown} before the lesson are left out."
            ).format(**weeks),
            _("What is said compares the change with that in ideas which were not taught.")
            if code in TECHNIQUES
            else _("What is said compares the change with that of members who were not taught."),
        )
    )
