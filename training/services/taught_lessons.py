"""Lessons held without a set: noted by a coach, so that what changed since can be told."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import clock, rights, visibility
from training.models import TaughtLesson
from training.models.members import Membership
from training.refusals import InvalidEntry
from training.selectors.group_reviews import HABITS
from training.services.validating import require_in_reach


def note_lesson(
    *, by: Membership, code: str, day: date, group: str = "", now: datetime | None = None
) -> TaughtLesson:
    """Note that a lesson on the habit ``code`` was held on a day of the club's calendar.

    ``group``: the name of the group that was taught, of whom belonged to it at the end of
    that day; empty: all who compete.
    Raises NotAllowed, and InvalidEntry for no habit, a day to come, a group of
    nobody, and what is noted already.
    """
    now = now or timezone.now()
    rights.require_coach(by)
    if code not in HABITS:
        raise InvalidEntry(_("Choose a habit from the list."), field="code")
    require_in_reach(day, "day")
    if day > clock.local_date(now, by.club.zone):
        raise InvalidEntry(
            _("This day is still to come. Note a lesson once it was held."), field="day"
        )
    end = clock.local_to_utc(day + timedelta(days=1), clock.MIDNIGHT, by.club.zone)
    at = min(now, end - timedelta(microseconds=1))
    members = list(visibility.reviewed_members(by, group, at=at))
    if not members:
        raise InvalidEntry(_("Nobody competes in this group."), field="group")
    with transaction.atomic():
        # The club's row is held, so that the same note sent twice is noted once.
        club = type(by.club).objects.select_for_update().get(pk=by.club_id)
        for noted in TaughtLesson.objects.of_club(club).filter(code=code, day=day):
            if set(noted.members.values_list("pk", flat=True)) >= {one.pk for one in members}:
                raise InvalidEntry(_("This is noted already."), field="day")
        lesson = TaughtLesson.objects.create(club=club, code=code, day=day, noted_at=now)
        lesson.members.set(members)
    return lesson


def take_back_lesson(*, by: Membership, lesson_id: int) -> None:
    """Take a note of a lesson back. Raises NotAllowed, and InvalidEntry when there is none."""
    rights.require_coach(by)
    found, _rows = visibility.taught_lessons(by).filter(pk=lesson_id).delete()
    if not found:
        raise InvalidEntry(_("This note was taken back already."))
