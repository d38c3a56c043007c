"""Confirming results: by a coach, or by itself when the time for questions is over.

By itself it takes effect at that instant, from the entries before it, whenever this
runs: whatever is about to change a result settles first what had come to stand.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import challenging, clock, rights
from training.challenge_states import Stage, reached
from training.models import (
    Challenge,
    Confirmation,
    ConfirmedLine,
    Membership,
    Plan,
    Scramble,
    ScrambleSet,
    Season,
)
from training.refusals import NoLongerPossible
from training.selectors.challenge_results import live_lines, newest_confirmation, score_of
from training.selectors.challenges import course_of, reached_by
from training.selectors.corrections import concerns
from training.selectors.season_ends import QUESTION_TIME, ends_at, sets_of, stands_by_itself_at
from training.selectors.seasons import season_lines, season_of, sums_of_season


def settle_due(*, now: datetime | None = None) -> int:
    """Keep what has come to stand by itself in all clubs. Returns how many results were noted."""
    now = now or timezone.now()
    found = Challenge.objects.not_confirmed().of_closed_sets(now)
    ids = found.order_by("scramble_set__closes_at").values_list("scramble_set_id", flat=True)
    noted = sum(_settle_challenge(set_id, now) for set_id in list(ids))
    seasons = Season.objects.filter(confirmations=None, last_day__lte=now.date())
    return noted + sum(_settle_season(one, now) for one in seasons.select_related("club"))


def settle(*, set_id: int, now: datetime) -> bool:
    """Keep what has come to stand by itself of a set: of its challenge, of the season it feeds.

    Of a challenge also when all was checked. Call it before what changes a result of a set.
    Returns whether a result was noted; done twice it is done once.
    """
    noted = _settle_challenge(set_id, now)
    of_set = ScrambleSet.objects.select_related("club").get(pk=set_id)
    day = clock.closing_day(of_set.due_at, of_set.club.zone)
    fed = season_of(of_set.club_id, day, of_set.kind)
    if fed is not None and not fed.confirmations.exists():
        noted |= _settle_season(fed, now)
    return noted


def _settle_season(season: Season, now: datetime) -> bool:
    """Keep a season's last table once the time for questions is over, as of that instant."""
    # Asked first what is known at once: the rest takes some queries.
    if now < ends_at(season) + QUESTION_TIME:
        return False
    challenges = Challenge.objects.not_confirmed().of_closed_sets(now)
    fed = challenges.filter(scramble_set__in=sets_of(season))
    for set_id in list(fed.values_list("scramble_set_id", flat=True)):
        _settle_challenge(set_id, now)
    at = stands_by_itself_at(season)
    if at is None or now < at:
        return False
    try:
        _note_season(season, at=at, by=None, own=False, now=now)
    except NoLongerPossible:
        # A coach has confirmed it in between.
        return False
    return True


def _settle_challenge(set_id: int, now: datetime) -> bool:
    of_set = Challenge.objects.not_confirmed().of_closed_sets(now).filter(scramble_set=set_id)
    challenge = of_set.select_related("scramble_set__club").first()
    if challenge is None:
        return False
    with transaction.atomic():
        lock(set_id)
        course = course_of(challenge)
        found = reached(course, now)
        if challenge.checked_at is None and course.checked_at is not None:
            Challenge.objects.filter(pk=challenge.pk, checked_at=None).update(
                checked_at=course.checked_at
            )
        if found.stage != Stage.CONFIRMED or course.confirmed_at is not None:
            return False
        if _waits(set_id):
            return False
        assert found.confirmed_at is not None
        _note(challenge, at=found.confirmed_at, by=None, own=False, now=now)
    return True


def decided_by_erasing(*, set_ids: Iterable[int], now: datetime) -> None:
    """Plans that waited are gone with their member: then all of a challenge is checked from now."""
    rows = Challenge.objects.filter(scramble_set__in=list(set_ids), checked_at=None)
    for one in rows.select_related("scramble_set"):
        if one.scramble_set.closes_at <= now and not _waits(one.scramble_set_id):
            Challenge.objects.filter(pk=one.pk, checked_at=None).update(checked_at=now)


def confirm(*, challenge: Challenge, by: Membership, now: datetime | None = None) -> Confirmation:
    """Let the result of a challenge stand, as it is now; once more, when it was corrected since.

    Raises NotAllowed unless :func:`training.rights.may_confirm`, NoLongerPossible
    while something waits, or when the same stands already.
    """
    now = now or timezone.now()
    rights.require_coach(by, club_id=challenge.scramble_set.club_id)
    own, others = concerns(by, challenge.scramble_set)
    rights.require_confirm(by, own_table=own, others=others)
    settle(set_id=challenge.scramble_set_id, now=now)
    with transaction.atomic():
        lock(challenge.scramble_set_id)
        challenge = Challenge.objects.select_related("scramble_set__club").get(pk=challenge.pk)
        challenging.require_to_confirm(reached_by(challenge, now), differs=_differs(challenge, now))
        if _waits(challenge.scramble_set_id):
            raise NoLongerPossible(_("A plan is being checked again. Confirm in a moment."))
        return _note(challenge, at=now, by=by, own=own, now=now)


def confirm_season(*, season: Season, by: Membership, now: datetime | None = None) -> Confirmation:
    """Let the last table of a season stand. Raises as :func:`confirm`."""
    now = now or timezone.now()
    rights.require_coach(by, club_id=season.club_id)
    _people, sums, sets = sums_of_season(season, now)
    lines = {pk: one for pk, one in sums.items() if one is not None}
    others = Membership.objects.open().coaching().filter(club=season.club_id)
    other = others.exclude(pk__in=lines).exclude(pk=by.pk).exists()
    own = by.pk in lines
    rights.require_confirm(by, own_table=own, others=other)
    today = clock.local_date(now, season.club.zone)
    challenging.require_season_over(season, today, to_come=sets.to_come)
    with transaction.atomic():
        Season.objects.select_for_update().only("pk").get(pk=season.pk)
        earlier = newest_confirmation(season)
        known = _known(earlier)
        if earlier is not None and known == {pk: one.score for pk, one in lines.items()}:
            raise NoLongerPossible(_("This table is confirmed already, with these numbers."))
        return _note_season(season, at=now, by=by, own=own, now=now)


def _note_season(
    season: Season, *, at: datetime, by: Membership | None, own: bool, now: datetime
) -> Confirmation:
    people, sums, sets = sums_of_season(season, now)
    lines = {pk: one for pk, one in sums.items() if one is not None}
    newest = newest_confirmation(season)
    if by is None and newest is not None:
        raise NoLongerPossible(_("Somebody has just confirmed this."))
    row = Confirmation(
        season=season,
        turn=1 if newest is None else newest.turn + 1,
        confirmed_at=at,
        noted_at=now,
        by=by,
        own_table=own,
        rules={
            "best_sets_counted": season.best_sets_counted,
            "kinds": list(season.kinds),
            "sets": list(sets.counted),
            "by_itself": by is None,
        },
    )
    with transaction.atomic():
        _save(row)
        for late in (False, True):
            ConfirmedLine.objects.bulk_create(
                ConfirmedLine(
                    confirmation=row,
                    membership_id=one.membership_id,
                    rank=one.rank,
                    late=late,
                    sets=one.sets,
                    **asdict(one.score),
                )
                for one in season_lines(0, people, lines, late=late)
            )
    return row


def lock(set_id: int) -> None:
    """One correction or confirmation of a set at a time."""
    ScrambleSet.objects.select_for_update().only("pk").get(pk=set_id)


def _waits(set_id: int) -> bool:
    pending = Plan.objects.pending().for_counting_scrambles()
    return pending.filter(scramble__scramble_set=set_id).exists()


def _known(confirmation: Confirmation | None) -> dict[int, Any]:
    if confirmation is None:
        return {}
    return {one.membership_id: score_of(one) for one in confirmation.lines.all()}


def _differs(challenge: Challenge, now: datetime) -> bool:
    """Whether what stands is otherwise than it would be now."""
    newest = newest_confirmation(challenge)
    if newest is None:
        return False
    live = {one.person.pk: one.score for _, one in live_lines(challenge.scramble_set, now)}
    return live != _known(newest)


def _note(
    challenge: Challenge, *, at: datetime, by: Membership | None, own: bool, now: datetime
) -> Confirmation:
    of_set = challenge.scramble_set
    newest = newest_confirmation(challenge)
    numbers = Scramble.objects.filter(scramble_set=of_set, void=False).values_list(
        "number", flat=True
    )
    row = Confirmation(
        challenge=challenge,
        turn=1 if newest is None else newest.turn + 1,
        confirmed_at=at,
        noted_at=now,
        by=by,
        own_table=own,
        rules={
            **{name: getattr(of_set, name) for name in ("colours", "spelling")},
            "cap": of_set.rules.cap,
            "scrambles": sorted(numbers),
            "by_itself": by is None,
        },
    )
    _save(row)
    ConfirmedLine.objects.bulk_create(_lines(row, live_lines(of_set, now)))
    return row


def _lines(row: Confirmation, lines: Sequence[tuple[int, Any]]) -> list[ConfirmedLine]:
    return [
        ConfirmedLine(confirmation=row, membership_id=one.person.pk, rank=rank, **asdict(one.score))
        for rank, one in lines
    ]


def _save(row: Confirmation) -> None:
    """Two that confirm at once: one does."""
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        raise NoLongerPossible(_("Somebody has just confirmed this.")) from None
