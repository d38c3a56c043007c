"""Issuing sets and finishing them. Idempotent: done twice is done once."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef
from django.utils import timezone

from solverworker.cube.chance import new_seed
from solverworker.cube.draw import Drawing
from training import clock, dispatch
from training.models import (
    Club,
    DayOff,
    Drawn,
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


def issue_daily_set(
    *, club: Club, day: date, drawer: Drawer, now: datetime | None = None
) -> ScrambleSet | None:
    """Issue the daily set of ``day`` (on the club's calendar), unless it is there.

    None when the club has no set on that day: not one of its weekdays, or a day
    off. A set already issued is given back as it is; nothing of it changes.
    """
    of_day = ScrambleSet.objects.of_club(club).daily().filter(day=day)
    there = of_day.first()
    if there is not None:
        return there
    if not has_daily_set(club, day):
        return None
    window = clock.daily_window(day, club.daily_opens, club.daily_closes, club.zone)
    # One more than the set has: the spare, sealed like the rest.
    drawing = drawer(club.daily_scrambles + 1)
    issued = ScrambleSet(
        kind=Kind.DAILY,
        drawn=Drawn.AS_DRAWN,
        draw_method=drawing.method,
        seed=drawing.seed,
        day=day,
        issued_at=now or timezone.now(),
        spare=drawing.texts[club.daily_scrambles],
    )
    texts = drawing.texts[: club.daily_scrambles]
    try:
        return issue(issued, club=club, rules=club.rules, window=window, texts=texts)
    except IntegrityError:
        # Another process issued it in between.
        return of_day.get()


def issue(
    issued: ScrambleSet,
    *,
    club: Club,
    rules: SetRules,
    window: clock.Window,
    texts: Sequence[str] = (),
) -> ScrambleSet:
    """Store a new set of ``club`` with its rules and window. Every set is issued here.

    ``texts``: the scrambles that it has from the start; those that it still
    wants are drawn by a worker, who is asked to. Raises IntegrityError
    when there is such a set already.
    """
    issued.club = club
    issued.opens_at, issued.closes_at = window.opens_at, window.closes_at
    for name, value in columns_of(rules).items():
        setattr(issued, name, value)
    with transaction.atomic():
        issued.save(force_insert=True)
        _add_scrambles(issued, texts)
        if len(texts) < issued.scrambles_wanted:
            dispatch.ask_for_drawing_after_commit()
    return issued


def _add_scrambles(to: ScrambleSet, texts: Sequence[str], *, first: int = 1) -> None:
    Scramble.objects.bulk_create(
        Scramble(scramble_set=to, number=number, text=text)
        for number, text in enumerate(texts, start=first)
    )


def has_daily_set(club: Club, day: date) -> bool:
    """Whether the club's calendar has a daily set on ``day``."""
    if day.weekday() not in club.daily_weekdays:
        return False
    return not DayOff.objects.filter(club=club, day=day).exists()


def withdraw_sealed(*, club: Club, now: datetime, day: date | None = None) -> int:
    """Take back daily sets that nobody has seen: those not yet open (of one ``day``, if given)."""
    sealed = ScrambleSet.objects.of_club(club).daily().to_come(now)
    if day is not None:
        sealed = sealed.filter(day=day)
    gone = sealed.count()
    sealed.delete()
    return gone


def issue_due(*, drawer: Drawer, now: datetime | None = None) -> int:
    """Issue today's and tomorrow's daily sets of every club, each in its own zone.

    Days that passed while the server was off are not made up for: nobody could
    have planned them. One club's trouble does not keep another from its set.
    Returns how many days are provided for.
    """
    now = now or timezone.now()
    provided = 0
    for one in Club.objects.order_by("pk"):
        try:
            provided += _issue_due_of(one, drawer, now)
        except Exception:
            log.exception("No set could be issued for club %s.", one.pk)
    return provided


def _issue_due_of(club: Club, drawer: Drawer, now: datetime) -> int:
    today = clock.local_date(now, club.zone)
    provided = 0
    # Yesterday too: a set that closes after midnight may still be open.
    for day in (today - timedelta(days=1), today, today + timedelta(days=1)):
        window = clock.daily_window(day, club.daily_opens, club.daily_closes, club.zone)
        if window.closes_at > now:
            provided += issue_daily_set(club=club, day=day, drawer=drawer, now=now) is not None
    return provided


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
