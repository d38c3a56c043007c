"""Storing sets, filling and finishing them. Idempotent: done twice is done once."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from itertools import count
from typing import NamedTuple

from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef
from django.utils import timezone

from solverworker.cube.chance import new_seed
from solverworker.cube.draw import Drawing
from training import clock, dispatch
from training.models import (
    Club,
    Group,
    Kind,
    Plan,
    Scramble,
    ScrambleSet,
)
from training.models.settings import columns_of
from training.rules import PickedProfile, SetRules

log = logging.getLogger(__name__)

Drawer = Callable[[int], Drawing]
"""Draws so many scrambles as drawn: uniform random states of the whole cube."""

PickedDrawer = Callable[[str | None, Sequence[int] | None, Sequence[str], str], str]
"""Draws a scramble for (technique or None, lengths or None, allowed colours) from a seed."""


class Drawers(NamedTuple):
    """What draws scrambles. It needs the solver, so only workers and commands have it."""

    daily: Drawer
    picked: PickedDrawer


def issue(
    issued: ScrambleSet,
    *,
    club: Club,
    rules: SetRules,
    window: clock.Window,
    texts: Sequence[str] = (),
    groups: Iterable[Group] = (),
) -> ScrambleSet:
    """Store a new set of ``club`` with its rules and window. Every set is issued here.

    ``groups``: for whom it is; none: for everybody.
    ``texts``: the scrambles that it has from the start; those that it still
    wants are drawn by a worker, who is asked to. Raises IntegrityError
    when there is such a set already.
    """
    issued.club = club
    issued.opens_at, issued.closes_at = window.opens_at, window.closes_at
    for name, value in columns_of(rules).items():
        setattr(issued, name, value)
    groups = list(groups)
    with transaction.atomic():
        issued.nth = _nth(issued, groups)
        issued.save(force_insert=True)
        issued.groups.set(groups)
        _add_scrambles(issued, texts)
        if len(texts) < issued.scrambles_wanted:
            dispatch.ask_for_drawing_after_commit()
    return issued


def _nth(issued: ScrambleSet, groups: Sequence[Group]) -> int:
    """The first number that no set of the kind and day for the same people has; two queries.

    Two stored at the same instant may get one number: a name then stands twice, and no more.
    """
    if issued.kind in {Kind.PRACTICE, Kind.AFTERWARDS}:
        return 1  # One a member and day, and one of a set.
    beside = ScrambleSet.objects.of_club(issued.club).filter(
        kind=issued.kind, day=issued.day, for_member=issued.for_member
    )
    whose = {one.pk for one in groups}
    taken = {
        one.nth
        for one in beside.prefetch_related("groups")
        if {each.pk for each in one.groups.all()} == whose
    }
    return next(number for number in count(1) if number not in taken)


def _add_scrambles(to: ScrambleSet, texts: Sequence[str], *, first: int = 1) -> None:
    Scramble.objects.bulk_create(
        Scramble(scramble_set=to, number=number, text=text)
        for number, text in enumerate(texts, start=first)
    )


def finish_closed(*, now: datetime | None = None) -> int:
    """Mark closed sets as finished once none of their plans waits. Returns how many were.

    Nothing is decided by this mark: totals of a closed set count missing plans
    from its closing time on. It says that a table will not move by itself any more.
    """
    now = now or timezone.now()
    pending = Plan.objects.filter(scramble__scramble_set=OuterRef("pk")).pending()
    closed = ScrambleSet.objects.closed(now).not_finished()
    done = list(closed.filter(~Exists(pending)).values_list("pk", flat=True))
    return ScrambleSet.objects.filter(pk__in=done).not_finished().update(finished_at=now)


def fill_picked(*, drawer: PickedDrawer, now: datetime | None = None) -> int:
    """Draw the scrambles that picked sets still want. Returns how many were drawn.

    Done twice at once it draws once: a scramble's number is unique in its set.
    """
    drawn = 0
    for one in ScrambleSet.objects.not_closed(now or timezone.now()).short_of_scrambles():
        have: int = one.have  # type: ignore[attr-defined]
        profile = one.drawn_to or PickedProfile(fresh=())
        wanted = profile.fresh[len(profile.fresh) - (one.scrambles_wanted - have) :]
        seed = one.seed or new_seed()
        try:
            texts = [
                drawer(technique, profile.lengths, one.colours, f"{seed}/{number}")
                for number, technique in enumerate(wanted, start=have + 1)
            ]
            with transaction.atomic():
                ScrambleSet.objects.filter(pk=one.pk).update(seed=seed)
                _add_scrambles(one, texts, first=have + 1)
            drawn += len(texts)
        except IntegrityError:
            continue
        except Exception:
            log.exception("No scrambles could be drawn for set %s.", one.pk)
    return drawn
