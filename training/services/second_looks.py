"""Keeping what a member found on a second look."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from solverworker.atlas import atlas
from training import rights
from training.models import Membership, SecondLook
from training.refusals import InvalidEntry, NoLongerPossible
from training.second_look import MOST_HINTS, try_on
from training.selectors.plans import scramble_for, scramble_row
from training.visibility import Sealed


def note_second_look(
    *,
    by: Membership,
    set_id: int,
    number: int,
    place: int,
    moves: str,
    hints: int = 0,
    now: datetime | None = None,
) -> SecondLook:
    """Keep that ``by`` wrote the own plan on from a ``place`` without losing anything.

    What was found there first stays. Raises Sealed unless the verdict on the own plan is open
    to ``by``, InvalidEntry for a place that the plan does not have and for moves that lose
    something or do not solve the cross, NotationError for what cannot be read, and
    NoLongerPossible while no worker has made the atlas.
    """
    now = now or timezone.now()
    rights.require_enter(by)
    _view, one = scramble_for(by, set_id, number, now)
    if one.plan is None or one.plan.report is None:
        raise Sealed
    report, known = one.plan.report, atlas()
    if known is None:
        raise NoLongerPossible(_("The solver is still getting ready. Try again in a minute."))
    tokens = report.canonical.split()
    if not 0 <= place <= len(tokens) or not 0 <= hints <= MOST_HINTS:
        raise InvalidEntry(_("The plan has no such place."), field="place")
    tried = try_on(known, one.text, " ".join(tokens[:place]), moves, report.colour)
    if not tried.found or not tried.kept:
        raise InvalidEntry(_("These moves do not solve the cross without a loss."), field="moves")
    row, _made = SecondLook.objects.get_or_create(
        membership=by,
        scramble=scramble_row(by, set_id, number, now),
        place=place,
        defaults={"moves": " ".join(tried.kept), "hints": hints, "found_at": now},
    )
    return row
