"""Does the state of a challenge or a season allow it? Beside :mod:`training.policies`."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training.challenge_states import Reached, Stage
from training.clock import Window
from training.models import Confirmation, Question, Season
from training.refusals import InvalidEntry, NoLongerPossible
from training.rules import Sight

LONGEST = timedelta(days=31)
"""How long a challenge is open at most."""

MOST_WAITING = 10
"""So many questions of one member wait at most."""

MOST_WORDS = 3
"""So many things are worth a word in one post."""


def may_be_announced(window: Window, now: datetime) -> bool:
    """Whether a challenge can be announced: it opens later, and closes within a month."""
    length = window.closes_at - window.opens_at
    return now < window.opens_at and timedelta() < length <= LONGEST


def require_announced(window: Window, now: datetime) -> None:
    """Raise InvalidEntry unless :func:`may_be_announced`."""
    if may_be_announced(window, now):
        return
    if window.opens_at <= now:
        raise InvalidEntry(
            _("A challenge is announced before it opens. Choose a later time."), field="opens"
        )
    raise InvalidEntry(
        _("A challenge closes after it opens, and is open for a month at most."), field="closes"
    )


def may_be_told(table_to: str) -> bool:
    """Whether a result can be told of at all: not one that is for the coaches alone."""
    return table_to != Sight.COACHES


def require_told(table_to: str) -> None:
    """Raise InvalidEntry unless :func:`may_be_told`."""
    if not may_be_told(table_to):
        raise InvalidEntry(
            _("Members read the result of a challenge: choose when its table opens to them."),
            field="table_to",
        )


def may_be_called_off(found: Reached) -> bool:
    """Whether a challenge can be taken back: as long as it has not opened."""
    return found.stage in {Stage.NOT_YET, Stage.ANNOUNCED}


def require_to_come(found: Reached) -> None:
    """Raise NoLongerPossible unless :func:`may_be_called_off`."""
    if not may_be_called_off(found):
        raise NoLongerPossible(
            _("This challenge has opened. It can be taken out as a whole, with a reason.")
        )


def may_be_confirmed(found: Reached) -> bool:
    """Whether the result can stand: all is checked, and no question waits."""
    stages = {Stage.QUESTIONS, Stage.CONFIRMED, Stage.POSTED}
    return found.stage in stages and found.open_questions == 0


def require_to_confirm(found: Reached, *, differs: bool) -> None:
    """Raise NoLongerPossible unless :func:`may_be_confirmed`, or when it stands so already.

    ``differs``: corrections have changed what was confirmed.
    """
    if may_be_confirmed(found):
        if found.confirmed_at is not None and not differs:
            raise NoLongerPossible(_("This result is confirmed already, with these numbers."))
        return
    if found.open_questions:
        raise NoLongerPossible(
            ngettext(
                "{number} question waits. Answer it first.",
                "{number} questions wait. Answer them first.",
                found.open_questions,
            ).format(number=found.open_questions)
        )
    raise NoLongerPossible(
        _("A result is confirmed once the challenge has closed and every plan is checked.")
    )


def may_be_posted(found: Reached) -> bool:
    """Whether a challenge can be told of: once its result stands."""
    return found.stage in {Stage.CONFIRMED, Stage.POSTED}


def require_to_post(found: Reached) -> None:
    """Raise NoLongerPossible unless :func:`may_be_posted`."""
    if not may_be_posted(found):
        raise NoLongerPossible(_("Confirm the result first. Then it can be posted."))


def is_noted(confirmation: Confirmation | None) -> bool:
    """Whether the numbers of a result that stands are kept."""
    return confirmation is not None


def require_noted(confirmation: Confirmation | None) -> None:
    """Raise NoLongerPossible unless :func:`is_noted`."""
    if not is_noted(confirmation):
        raise NoLongerPossible(_("A plan is being checked again. Post in a moment."))


def is_waiting(question: Question) -> bool:
    """Whether a question has no answer yet."""
    return question.answered_at is None


def require_waiting(question: Question) -> None:
    """Raise NoLongerPossible unless :func:`is_waiting`: says who was first."""
    if is_waiting(question):
        return
    by = question.answered_by.display_name if question.answered_by else _("a former member")
    raise NoLongerPossible(
        _("{name} has answered this question already: {answer}").format(
            name=by, answer=question.answer
        )
    )


def has_begun(season: Season, today: date) -> bool:
    """Whether what a season counts is fixed: from its first day on."""
    return season.first_day <= today


def require_to_begin(season: Season, today: date) -> None:
    """Raise NoLongerPossible if :func:`has_begun`."""
    if has_begun(season, today):
        raise NoLongerPossible(
            _("This season has begun, so what it counts stays as it is. Its name can be changed.")
        )


def is_over(season: Season, today: date) -> bool:
    """Whether the last day of a season has passed."""
    return season.last_day < today


def may_confirm_season(season: Season, today: date, *, to_come: int) -> bool:
    """Whether a last table can stand: the season is over, and so is everything in it.

    ``to_come``: how many of its sets are open, wait for a verdict or a confirmation.
    """
    return is_over(season, today) and to_come == 0


def require_season_over(season: Season, today: date, *, to_come: int) -> None:
    """Raise NoLongerPossible unless :func:`may_confirm_season`."""
    if may_confirm_season(season, today, to_come=to_come):
        return
    if not is_over(season, today):
        raise NoLongerPossible(_("This season still runs. Its table is confirmed when it is over."))
    raise NoLongerPossible(
        ngettext(
            "{number} set of this season is not settled yet: it is open, being checked or not "
            "confirmed.",
            "{number} sets of this season are not settled yet: they are open, being checked or "
            "not confirmed.",
            to_come,
        ).format(number=to_come)
    )
