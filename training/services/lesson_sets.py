"""Picked sets for a lesson, drawn to one technique: homework, or for a club night."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import belonging, clock, policies, rights
from training.models import Drawn, Group, Kind, Membership, ScrambleSet
from training.models.settings import MOST_SCRAMBLES, SCRAMBLES_OUT_OF_BOUNDS
from training.refusals import InvalidEntry
from training.rules import PickedProfile, SetRules
from training.selectors.reviews import TECHNIQUES
from training.services.sets import issue
from training.services.validating import require_in_reach

METHOD = "picked"
MOST_DAYS = 28
LEAST_MINUTES, MOST_MINUTES = 5, 240


def make_homework(
    *,
    by: Membership,
    code: str,
    scrambles: int,
    lengths: tuple[int, int],
    opens_day: date,
    days: int,
    groups: Sequence[Group] = (),
    member: Membership | None = None,
    rules: SetRules | None = None,
    now: datetime | None = None,
) -> ScrambleSet:
    """Issue a picked set as homework for the whole club, for groups, or for one member.

    Every cross of it calls for the technique ``code`` at the start and has a
    best of ``lengths[0]`` to ``lengths[1]`` moves. It opens at midnight of
    ``opens_day`` on the club's calendar (at once, if that is today) and closes
    after ``days`` days. A worker draws the scrambles within a moment. ``rules``:
    where it has others than the club. Raises NotAllowed or InvalidEntry.
    """
    now = now or timezone.now()
    rights.require_coach(by)
    zone = by.club.zone
    if not 1 <= days <= MOST_DAYS:
        raise InvalidEntry(
            _("Homework is open for 1 to {most} days.").format(most=MOST_DAYS), field="days"
        )
    require_in_reach(opens_day, "opens_day")
    if opens_day < clock.local_date(now, zone):
        raise InvalidEntry(
            _("This day has passed. Choose today or a later one."), field="opens_day"
        )
    window = clock.Window(
        max(now, clock.local_to_utc(opens_day, clock.MIDNIGHT, zone)),
        clock.local_to_utc(opens_day + timedelta(days=days), clock.MIDNIGHT, zone, "closing"),
    )
    if member is not None:
        rights.require_coach(by, club_id=member.club_id)
        rights.require_enter(member)
    return _issue(
        Kind.HOMEWORK, by, code, scrambles, lengths, opens_day, window, now, groups, member, rules
    )


def make_club_night(
    *,
    by: Membership,
    code: str,
    scrambles: int,
    lengths: tuple[int, int],
    day: date,
    begins: time,
    minutes: int,
    groups: Sequence[Group] = (),
    rules: SetRules | None = None,
    now: datetime | None = None,
) -> ScrambleSet:
    """Issue a picked set for a club night: open from ``begins`` for ``minutes`` minutes.

    ``begins`` is by the club's clock. An evening that has begun opens at once
    and still ends when it would have. Otherwise as :func:`make_homework`.
    """
    now = now or timezone.now()
    rights.require_coach(by)
    if not LEAST_MINUTES <= minutes <= MOST_MINUTES:
        raise InvalidEntry(
            _("A club night is open for {least} to {most} minutes.").format(
                least=LEAST_MINUTES, most=MOST_MINUTES
            ),
            field="minutes",
        )
    require_in_reach(day, "day")
    opens_at = clock.local_to_utc(day, begins, by.club.zone)
    window = clock.Window(max(now, opens_at), opens_at + timedelta(minutes=minutes))
    if window.closes_at <= window.opens_at:
        raise InvalidEntry(_("This evening has passed. Choose a later time."), field="begins")
    return _issue(
        Kind.CLUB_NIGHT, by, code, scrambles, lengths, day, window, now, groups, None, rules
    )


def call_off(*, by: Membership, set_id: int, now: datetime | None = None) -> None:
    """Take back a lesson's set that has not opened yet.

    Raises NotAllowed, and InvalidEntry when there is no such set to come.
    """
    now = now or timezone.now()
    rights.require_coach(by)
    with transaction.atomic():
        sets = ScrambleSet.objects.select_for_update().filter(club=by.club_id)
        policies.require_to_come(sets.filter(pk=set_id).first(), now).delete()


def _issue(
    kind: Kind,
    by: Membership,
    code: str,
    scrambles: int,
    lengths: tuple[int, int],
    day: date,
    window: clock.Window,
    now: datetime,
    groups: Sequence[Group],
    member: Membership | None,
    rules: SetRules | None,
) -> ScrambleSet:
    shortest, longest = lengths
    if code not in TECHNIQUES:
        raise InvalidEntry(_("Choose an idea from the list."), field="code")
    if not 1 <= scrambles <= MOST_SCRAMBLES:
        raise InvalidEntry(str(SCRAMBLES_OUT_OF_BOUNDS), field="scrambles")
    if not 2 <= shortest <= longest <= 8:
        raise InvalidEntry(
            _("The lengths go from 2 to 8 moves, the smaller one first."), field="lengths"
        )
    made = ScrambleSet(
        kind=kind,
        drawn=Drawn.PICKED,
        draw_method=METHOD,
        profile=PickedProfile.of_lesson(code, scrambles, lengths).to_json(),
        scrambles_wanted=scrambles,
        day=day,
        issued_at=now,
        for_member=member,
    )
    for group in groups:
        rights.require_coach(by, club_id=group.club_id)
        belonging.require_group_in_use(group)
    return issue(made, club=by.club, rules=rules or by.club.rules, window=window, groups=groups)
