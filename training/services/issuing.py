"""Sets issue themselves by the series of their clubs. Idempotent: done twice is done once."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from datetime import date, datetime, timedelta

from django.db import IntegrityError
from django.db.models import Max
from django.utils import timezone

from training import clock
from training.models import Club, Drawn, Kind, ScrambleSet, Series
from training.rules import PickedProfile
from training.selectors import occurrences
from training.selectors.occurrences import Occurrence
from training.services import challenges
from training.services.sets import Drawer, issue

log = logging.getLogger(__name__)

BY_LENGTH = "by_length"


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
    if series.kind == Kind.CHALLENGE:
        return _announce(one, now)
    if series.lengths is not None:
        return _issue_picked(one, series.lengths, now)
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
    return _stored(one, issued, drawing.texts[: series.scrambles])


def _issue_picked(one: Occurrence, lengths: tuple[int, int], now: datetime) -> ScrambleSet:
    """A set of crosses of some lengths: a worker draws them a moment later, without a spare."""
    series = one.series
    issued = ScrambleSet(
        kind=series.kind,
        series=series,
        drawn=Drawn.PICKED,
        draw_method=BY_LENGTH,
        profile=PickedProfile.of_lengths(series.scrambles, lengths).to_json(),
        scrambles_wanted=series.scrambles,
        day=one.day,
        issued_at=now,
    )
    return _stored(one, issued)


def _stored(one: Occurrence, issued: ScrambleSet, texts: Sequence[str] = ()) -> ScrambleSet:
    series = one.series
    try:
        return issue(
            issued,
            club=series.club,
            rules=series.rules_of_sets,
            window=one.window,
            texts=texts,
            groups=series.groups.all(),
        )
    except IntegrityError:
        # Another process issued it in between.
        return ScrambleSet.objects.get(series=series, day=one.day)


def _announce(one: Occurrence, now: datetime) -> ScrambleSet:
    """A challenge is announced instead: everybody reads that it comes; a worker draws it."""
    series = one.series
    try:
        announced = challenges.announce(
            club=series.club,
            series=series,
            rules=series.rules_of_sets,
            window=one.window,
            scrambles=series.scrambles,
            name=series.name,
            groups=series.groups.all(),
            now=now,
        )
    except IntegrityError:
        return ScrambleSet.objects.get(series=series, day=one.day)
    return announced.scramble_set


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
