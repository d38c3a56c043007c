"""Groups: made, renamed, put away; who belongs to which, from a day on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import belonging, clock, rights
from training.models import Club, Done, Group, GroupTime, Membership
from training.names import tidy
from training.refusals import InvalidEntry, NoLongerPossible
from training.selectors.groups import state_of
from training.services import deeds, summaries
from training.services.validating import require_in_reach, require_storable

MOST_GROUPS = 40
MOST_LETTERS = 40


def make_group(*, by: Membership, name: str) -> Group:
    """A new group. Raises NotAllowed, or InvalidEntry for a name that is none or is taken."""
    rights.require_coach(by)
    called = _group_name(name)
    with transaction.atomic():
        # Of two coaches at once the second is told of the first one's group.
        Club.objects.select_for_update().only("pk").get(pk=by.club_id)
        if Group.objects.of_club(by.club_id).in_use().count() >= MOST_GROUPS:
            raise InvalidEntry(
                _("A club has at most {most} groups. Put one away first.").format(most=MOST_GROUPS),
                field="name",
            )
        _require_free(by.club_id, called)
        return Group.objects.create(club_id=by.club_id, name=called)


def rename_group(*, by: Membership, group: Group, name: str) -> Group:
    """Give a group another name; its tables and sets stay its own. Raises as :func:`make_group`."""
    rights.require_coach(by, club_id=group.club_id)
    called = _group_name(name)
    try:
        with transaction.atomic():
            _require_free(group.club_id, called, besides=group)
            Group.objects.filter(pk=group.pk).update(name=called)
    except IntegrityError:
        raise _taken(called) from None
    group.name = called
    return group


def put_away(*, by: Membership, group: Group, now: datetime | None = None) -> bool:
    """Put away a group to which nobody belongs, now or later: its tables stay to be read.

    One that never had anybody or any set goes altogether. Returns whether it did.
    Raises NotAllowed, or NoLongerPossible while somebody belongs to it.
    """
    rights.require_coach(by, club_id=group.club_id)
    now = now or timezone.now()
    with transaction.atomic():
        group = Group.objects.select_for_update().get(pk=group.pk)
        belonging.require_put_away(group, now)
        if belonging.is_untouched_group(group):
            group.delete()
            return True
        if group.archived_at is None:
            Group.objects.filter(pk=group.pk).update(archived_at=now)
    return False


def take_up(*, by: Membership, group: Group) -> None:
    """Use a group again that was put away. Raises NotAllowed."""
    rights.require_coach(by, club_id=group.club_id)
    Group.objects.filter(pk=group.pk).update(archived_at=None)


def move(
    *,
    by: Membership,
    memberships: Sequence[Membership],
    group: Group | None,
    from_day: date,
    seen: str | None = None,
    now: datetime | None = None,
) -> list[Membership]:
    """Let members belong to a group from a day of the club's calendar on; None: to none.

    The day may have passed or be to come; what was noted for later days is replaced.
    Results of sets before it stay with the old group. ``seen``: the
    :func:`~training.selectors.groups.state_of` that was looked at: if another
    coach has moved one of them meanwhile, nothing is done. Returns whose belonging changed.
    Raises NotAllowed, InvalidEntry, NoLongerPossible.
    """
    rights.require_coach(by)
    now = now or timezone.now()
    ids = {one.pk for one in memberships}
    if not ids:
        raise InvalidEntry(_("Tick at least one member."), field="who")
    require_movable_day(from_day)
    begins = clock.local_to_utc(from_day, clock.MIDNIGHT, by.club.zone)
    with transaction.atomic():
        rows = Membership.objects.select_for_update().filter(club=by.club_id, pk__in=ids)
        people = list(rows.not_former().order_by("pk"))
        if len(people) < len(ids):
            raise NoLongerPossible(_("Somebody of these is no longer in the club. Look again."))
        if group is not None:
            # Held, so that nobody puts it away in between.
            group = Group.objects.select_for_update().get(pk=group.pk, club=by.club_id)
            belonging.require_group_in_use(group)
        if seen is not None and seen != state_of(ids):
            raise NoLongerPossible(
                _("Somebody has moved one of these meanwhile. Look at what changes now.")
            )
        moved = [one for one in people if _move_one(one, group, begins, now)]
        for one in moved:
            summaries.count_anew(membership=one)
            deeds.note(what=Done.GROUP, by=by, whom=one, now=now)
    return moved


def require_movable_day(from_day: date) -> None:
    """Raise InvalidEntry for a day from which nobody can be moved."""
    require_in_reach(from_day, "from_day")


def _move_one(membership: Membership, group: Group | None, begins: datetime, now: datetime) -> bool:
    """Whether anything changed."""
    times = GroupTime.objects.filter(membership=membership)
    before = list(times)
    after = belonging.after_move(before, membership.pk, group.pk if group else None, begins)
    if belonging.plain(before) == belonging.plain(after):
        return False
    if rights.may_coach(membership):
        belonging.require_not_read(membership, after, now)
    times.delete()
    GroupTime.objects.bulk_create(after)
    return True


def groups_named(club: Club | int, names: Iterable[str]) -> dict[str, Group]:
    """Those groups in use that are called so, by the name in lower case. One query."""
    wanted = {one.casefold() for one in names}
    found = Group.objects.of_club(club).in_use()
    return {one.name.casefold(): one for one in found if one.name.casefold() in wanted}


def _group_name(name: str) -> str:
    called = tidy(require_storable(name, "name"))
    if not 0 < len(called) <= MOST_LETTERS:
        raise InvalidEntry(
            _("Give the group a name of 1 to {most} letters.").format(most=MOST_LETTERS),
            field="name",
        )
    return called


def _require_free(club_id: int, name: str, *, besides: Group | None = None) -> None:
    others = Group.objects.of_club(club_id)
    if besides is not None:
        others = others.exclude(pk=besides.pk)
    if any(one.casefold() == name.casefold() for one in others.values_list("name", flat=True)):
        raise _taken(name)


def _taken(name: str) -> InvalidEntry:
    return InvalidEntry(
        _("There is a group called “{name}” already, in use or put away.").format(name=name),
        field="name",
    )
