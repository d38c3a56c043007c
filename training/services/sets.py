"""Issuing sets and finishing them. Idempotent: done twice is done once."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from django.db import IntegrityError, transaction
from django.db.models import Exists, Max, OuterRef
from django.utils import timezone

from solverworker.cube.chance import new_seed
from solverworker.cube.draw import Drawing
from training import clock, dispatch
from training.models import (
    Club,
    Drawn,
    Group,
    Plan,
    Scramble,
    ScrambleSet,
    Series,
)
from training.models.settings import columns_of
from training.rules import PickedProfile, SetRules
from training.selectors import occurrences
from training.selectors.occurrences import Occurrence

log = logging.getLogger(__name__)

Drawer = Callable[[int], Drawing]
"""Draws so many scrambles as drawn: uniform random states of the whole cube."""

PickedDrawer = Callable[[str | None, Sequence[int] | None, Sequence[str], str], str]
"""Draws a scramble for (technique or None, lengths or None, allowed colours) from a seed."""


class Drawers(NamedTuple):
    """What draws scrambles. It needs the solver, so only workers and commands have it."""

    daily: Drawer
    picked: PickedDrawer


def issue_of_series(
    *, series: Series, day: date, drawer: Drawer, now: datetime | None = None
) -> ScrambleSet | None:
    """Issue the set that ``series`` has on ``day`` (on the club's calendar), unless it is there.

    None when it has none on that day: not one of its weekdays, left out, or a day
    off. A set already issued is given back as it is; nothing of it changes.
    """
    there = ScrambleSet.objects.filter(series=series, day=day).first()
    if there is not None:
        return there
    off = occurrences.days_off_between(series.club, day, day)
    for one in occurrences.of_series(series, day, day, off=off):
        return _issue_occurrence(one, drawer, now or timezone.now())
    return None


def _issue_occurrence(one: Occurrence, drawer: Drawer, now: datetime) -> ScrambleSet:
    series = one.series
    # One more than the set has: the spare, sealed like the rest.
    drawing = drawer(series.scrambles + series.spare)
    issued = ScrambleSet(
        kind=series.kind,
        series=series,
        drawn=Drawn.AS_DRAWN,
        draw_method=drawing.method,
        seed=drawing.seed,
        day=one.day,
        issued_at=now,
        spare=drawing.texts[series.scrambles] if series.spare else "",
    )
    texts = drawing.texts[: series.scrambles]
    rules = series.rules_of_sets
    try:
        return issue(
            issued,
            club=series.club,
            rules=rules,
            window=one.window,
            texts=texts,
            groups=series.groups.all(),
        )
    except IntegrityError:
        # Another process issued it in between.
        return ScrambleSet.objects.get(series=series, day=one.day)


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
    with transaction.atomic():
        issued.save(force_insert=True)
        issued.groups.set(groups)
        _add_scrambles(issued, texts)
        if len(texts) < issued.scrambles_wanted:
            dispatch.ask_for_drawing_after_commit()
    return issued


def _add_scrambles(to: ScrambleSet, texts: Sequence[str], *, first: int = 1) -> None:
    Scramble.objects.bulk_create(
        Scramble(scramble_set=to, number=number, text=text)
        for number, text in enumerate(texts, start=first)
    )


def withdraw_sealed(
    *, club: Club, now: datetime, day: date | None = None, series: Series | None = None
) -> int:
    """Take back sets of series that nobody has seen: those not yet open.

    Of one ``day`` or of one ``series`` alone, if given. What is still due is
    issued anew when the clock comes by.
    """
    sealed = ScrambleSet.objects.of_club(club).issued().to_come(now)
    if day is not None:
        sealed = sealed.filter(day=day)
    if series is not None:
        sealed = sealed.filter(series=series)
    gone = sealed.count()
    sealed.delete()
    return gone


def issue_due(*, drawer: Drawer, now: datetime | None = None) -> int:
    """Issue what the series of every club have until tomorrow, each club in its own zone.

    Sets that have closed while the server was off are not made up for: nobody could
    have planned them. One series' trouble does not keep another from its set.
    Returns how many sets are provided for.
    """
    now = now or timezone.now()
    provided = 0
    for one in Club.objects.order_by("pk"):
        try:
            due = _due(one, now)
        except Exception:
            log.exception("No set could be issued for club %s.", one.pk)
        else:
            provided += _issue_missing(one, due, drawer, now)
    return provided


def _due(club: Club, now: datetime) -> list[Occurrence]:
    """What is open or opens until tomorrow; a long window may have opened days ago."""
    today = clock.local_date(now, club.zone)
    longest = Series.objects.of_club(club).aggregate(most=Max("days_later"))["most"] or 0
    # Yesterday too: a set that closes after midnight may still be open.
    first, last = today - timedelta(days=longest + 1), today + timedelta(days=1)
    found = occurrences.of_club(club, first, last)
    return [one for one in found if one.window.closes_at > now]


def _issue_missing(club: Club, due: Sequence[Occurrence], drawer: Drawer, now: datetime) -> int:
    days = {one.day for one in due}
    there = set(ScrambleSet.objects.of_club(club).filter(day__in=days).values_list("series", "day"))
    provided = 0
    for one in due:
        try:
            if (one.series.pk, one.day) not in there:
                _issue_occurrence(one, drawer, now)
            provided += 1
        except Exception:
            log.exception("No set could be issued for series %s.", one.series.pk)
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
