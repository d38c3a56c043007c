"""Announcing weekly challenges, and the seasons that they feed."""

from __future__ import annotations

import logging
from collections.abc import Collection, Sequence
from datetime import date, datetime

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import challenging, clock, rights
from training.models import (
    Challenge,
    Club,
    Drawn,
    Group,
    Kind,
    Membership,
    Scramble,
    ScrambleSet,
    Season,
    Series,
)
from training.models.challenges import QUESTION_HOURS
from training.models.settings import MOST_SCRAMBLES, SCRAMBLES_OUT_OF_BOUNDS
from training.refusals import InvalidEntry, NoLongerPossible
from training.rules import SetRules
from training.selectors.challenges import reached_by
from training.selectors.seasons import next_number, season_of
from training.services.confirming import lock
from training.services.sets import Drawer, issue
from training.services.validating import (
    groups_of_club,
    require_in_reach,
    require_storable,
    require_valid,
)

log = logging.getLogger(__name__)

UNDRAWN = "undrawn"
"""How a set is drawn, until a worker has drawn it."""


def announce(
    *,
    club: Club,
    rules: SetRules,
    window: clock.Window,
    scrambles: int,
    by: Membership | None = None,
    series: Series | None = None,
    name: str = "",
    question_hours: int = QUESTION_HOURS,
    groups: Collection[Group] = (),
    now: datetime | None = None,
) -> Challenge:
    """Announce a challenge: everybody reads from now on that it comes, and nothing of what.

    Its scrambles are drawn by a worker within a moment, with a spare, and are
    sealed until it opens. ``by``: the coach; None for a ``series`` of the club.
    ``groups``: to whom alone it is told and given; none: to everybody. One for
    groups feeds no season. Raises NotAllowed or InvalidEntry.
    """
    now = now or timezone.now()
    if by is not None:
        rights.require_coach(by, club_id=club.pk)
        # One of a series is announced late, when nothing ran before it opened.
        challenging.require_announced(window, now)
    challenging.require_told(rules.table_to)
    if not 1 <= scrambles <= MOST_SCRAMBLES:
        raise InvalidEntry(str(SCRAMBLES_OUT_OF_BOUNDS), field="scrambles")
    day = clock.local_date(window.opens_at, club.zone)
    closing_day = clock.closing_day(window.closes_at, club.zone)
    require_in_reach(closing_day, "closes")
    challenge = Challenge(
        name=require_storable(name, "name")[:60],
        question_hours=question_hours,
        announced_at=now,
        announced_by=by,
    )
    require_valid(challenge, ["name", "question_hours"])
    for_whom = groups_of_club(club, groups)
    with transaction.atomic():
        # Numbers follow one another, so one is announced at a time.
        Club.objects.select_for_update().only("pk").get(pk=club.pk)
        season = None if for_whom else season_of(club.pk, closing_day)
        challenge.number = next_number(season, club.pk)
        challenge.scramble_set = issue(
            ScrambleSet(
                kind=Kind.CHALLENGE,
                series=series,
                drawn=Drawn.AS_DRAWN,
                draw_method=UNDRAWN,
                day=day,
                issued_at=now,
                scrambles_wanted=scrambles,
            ),
            club=club,
            rules=rules,
            window=window,
            groups=for_whom,
        )
        challenge.save(force_insert=True)
    return challenge


def draw_announced(*, drawer: Drawer, now: datetime | None = None) -> int:
    """Draw the sets that are announced and not drawn yet. Returns how many were."""
    now = now or timezone.now()
    drawn = 0
    for one in ScrambleSet.objects.not_closed(now).undrawn():
        try:
            drawing = drawer(one.scrambles_wanted + 1)
            with transaction.atomic():
                lock(one.pk)
                Scramble.objects.bulk_create(
                    Scramble(scramble_set=one, number=number, text=text)
                    for number, text in enumerate(drawing.texts[:-1], start=1)
                )
                ScrambleSet.objects.filter(pk=one.pk).update(
                    draw_method=drawing.method, seed=drawing.seed, spare=drawing.texts[-1]
                )
            drawn += 1
        except IntegrityError:
            # Another worker drew it in between.
            continue
        except Exception:
            log.exception("No scrambles could be drawn for set %s.", one.pk)
    return drawn


def call_off(*, challenge: Challenge, by: Membership, now: datetime | None = None) -> None:
    """Take an announced challenge back, that nobody has seen. Raises NoLongerPossible later."""
    now = now or timezone.now()
    rights.require_coach(by, club_id=challenge.scramble_set.club_id)
    with transaction.atomic():
        lock(challenge.scramble_set_id)
        challenging.require_to_come(reached_by(challenge, now))
        challenge.scramble_set.delete()


def make_season(
    *,
    by: Membership,
    name: str,
    first_day: date,
    last_day: date,
    kinds: Sequence[str] = (Kind.CHALLENGE,),
    best_sets_counted: int | None = None,
    now: datetime | None = None,
) -> Season:
    """Name a season. Raises NotAllowed or InvalidEntry, also where one of its kind runs then."""
    now = now or timezone.now()
    rights.require_coach(by)
    season = Season(club=by.club, name=name, made_at=now)
    _fill(season, name, first_day, last_day, kinds, best_sets_counted)
    return _kept(season)


def change_season(
    *,
    season: Season,
    by: Membership,
    name: str,
    first_day: date,
    last_day: date,
    kinds: Sequence[str],
    best_sets_counted: int | None,
    now: datetime | None = None,
) -> Season:
    """Change a season that has not begun; once it has, its name alone.

    Raises NotAllowed, InvalidEntry, or NoLongerPossible for the rest of one that has begun.
    """
    rights.require_coach(by, club_id=season.club_id)
    before = (*season.days(), list(season.kinds), season.best_sets_counted)
    if before != (first_day, last_day, list(kinds), best_sets_counted):
        today = clock.local_date(now or timezone.now(), season.club.zone)
        challenging.require_to_begin(season, today)
    _fill(season, name, first_day, last_day, kinds, best_sets_counted)
    return _kept(season)


def _fill(
    season: Season,
    name: str,
    first_day: date,
    last_day: date,
    kinds: Sequence[str],
    best_sets_counted: int | None,
) -> None:
    season.name = require_storable(name, "name")
    season.first_day, season.last_day = first_day, last_day
    season.kinds, season.best_sets_counted = list(kinds), best_sets_counted
    for day, field in ((first_day, "first_day"), (last_day, "last_day")):
        require_in_reach(day, field)
    if last_day < first_day:
        raise InvalidEntry(_("A season ends on or after its first day."), field="last_day")
    require_valid(season, ["name", "kinds", "best_sets_counted"])


def _kept(season: Season) -> Season:
    others = Season.objects.filter(
        club=season.club, first_day__lte=season.last_day, last_day__gte=season.first_day
    )
    try:
        with transaction.atomic():
            Club.objects.select_for_update().only("pk").get(pk=season.club_id)
            for one in others.exclude(pk=season.pk):
                if set(one.kinds) & set(season.kinds):
                    raise InvalidEntry(
                        _("{name} runs on some of these days and counts the same sets.").format(
                            name=one.name
                        ),
                        field="first_day",
                    )
            season.save()
    except IntegrityError:
        raise InvalidEntry(_("There is a season of this name already."), field="name") from None
    return season


def remove_season(*, season: Season, by: Membership, now: datetime | None = None) -> None:
    """Remove a season that has not begun. Raises NoLongerPossible for one that has."""
    rights.require_coach(by, club_id=season.club_id)
    today = clock.local_date(now or timezone.now(), season.club.zone)
    if challenging.has_begun(season, today):
        raise NoLongerPossible(_("This season has begun, so it stays."))
    season.delete()
