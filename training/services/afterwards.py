"""Planning a closed set again: afterwards, for oneself, in no table and no review.

The same scrambles under the same rules in a set of the member's own, so that handing in, the
worker and the verdict are those of every set; what keeps it apart is its kind.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from django.db import IntegrityError
from django.utils import timezone

from training import clock, policies, rights, visibility
from training.models import Drawn, Kind, Membership, ScrambleSet
from training.rules import SetRules, Sight
from training.services.sets import issue

FOR_GOOD = datetime(clock.YEARS[-1], 12, 31, tzinfo=UTC)
"""When such a set closes: never, as far as anybody who plans it is concerned."""


def plan_afterwards(
    *, membership: Membership, scramble_set: ScrambleSet, now: datetime | None = None
) -> ScrambleSet:
    """The set in which a member plans a closed one again: made at the first call, then the same.

    For everybody of the club, also who joined later; a set that was taken out, too, and with all
    of its scrambles. Raises Sealed for what is not there for the member, NotAllowed for an account
    that is not open, NoLongerPossible for a set that has not closed.
    """
    now = now or timezone.now()
    visibility.require_set(membership, scramble_set, now)
    rights.require_enter(membership)
    policies.require_planned_again(scramble_set, now)
    own = ScrambleSet.objects.afterwards_of(membership).filter(again_of=scramble_set)
    there = own.first()
    if there is not None:
        return there
    made = ScrambleSet(
        kind=Kind.AFTERWARDS,
        drawn=Drawn.AGAIN,
        draw_method="again",
        for_member=membership,
        again_of=scramble_set,
        day=scramble_set.day,
        issued_at=now,
    )
    texts = scramble_set.scrambles.order_by("number").values_list("text", flat=True)
    try:
        return issue(
            made,
            club=membership.club,
            rules=rules_afterwards(scramble_set.rules),
            window=clock.Window(now, FOR_GOOD),
            texts=list(texts),
        )
    except IntegrityError:
        # Two taps on the button: the first one made it.
        return own.get()


def rules_afterwards(rules: SetRules) -> SetRules:
    """A set's rules with the answers after each own plan, unless they are for the coaches alone."""
    closed = rules.answers_to == Sight.COACHES
    answers = Sight.COACHES if closed else Sight.OWN_PLAN
    return replace(rules.for_oneself, answers_to=answers, table_to=Sight.COACHES)
