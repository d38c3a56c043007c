"""Members added from a pasted list, all or none, taken back once, and their sign-in cards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import clock, policies, rights
from training.models import Club, Deed, Done, GroupTime, Membership, Person
from training.refusals import InvalidEntry, NoLongerPossible
from training.selectors.people_lists import ListLine, ListPreview, newest_list, preview_of
from training.services import counting, deeds
from training.services.accounts import make_sign_in_code, note_consent
from training.services.erasing import erase_account
from training.services.groups import groups_named
from training.services.naming import shown_name
from training.services.validating import require_storable

MOST_CARDS = 200


@dataclass(frozen=True, slots=True)
class SignInCard:
    """A one-time code for somebody. The code is kept nowhere but as a hash."""

    membership: Membership
    code: str


def look_at_list(*, by: Membership, text: str) -> ListPreview:
    """What a pasted list would make. Raises NotAllowed, or InvalidEntry for no text."""
    rights.require_coach(by)
    require_storable(text, "text")
    return preview_of(by, text, shown_name)


def save_list(
    *, by: Membership, text: str, seen: str | None = None, now: datetime | None = None
) -> list[Membership]:
    """Add everybody of a pasted list, or nobody: members with a group from today on.

    A consent that a line tells of is noted by ``by`` at this moment, to the text of
    today; a child without one waits. Nobody has a pass phrase: cards let them in.
    ``seen``: the preview's ``state`` that was looked at. Raises NotAllowed,
    InvalidEntry where a line needs correcting, NoLongerPossible when what the list
    makes is no longer what was looked at.
    """
    rights.require_coach(by)
    now = now or timezone.now()
    with transaction.atomic():
        # Of two coaches at once the second is told whose names are taken now.
        club = Club.objects.select_for_update().get(pk=by.club_id)
        preview = look_at_list(by=by, text=text)
        if not preview.may_be_saved:
            raise InvalidEntry(_("Some lines need correcting. Nothing was saved."), field="text")
        if seen is not None and seen != preview.state:
            raise NoLongerPossible(
                _("Something has changed since you looked. Look at what is saved now.")
            )
        groups = groups_named(club, (one.group for one in preview.lines))
        today = clock.local_date(now, club.zone)
        begins = clock.local_to_utc(today, clock.MIDNIGHT, club.zone)
        made = []
        for line in preview.lines:
            member = _add(line, by, now)
            group = groups.get(line.group.casefold())
            if group is not None:
                GroupTime.objects.create(membership=member, group=group, begins_at=begins)
            made.append(member)
    return made


def _add(line: ListLine, by: Membership, now: datetime) -> Membership:
    person = Person.objects.create_person(line.sign_in_name, None, created_at=now)
    member = Membership(
        club=by.club,
        person=person,
        display_name=line.name,
        under_18=line.under_18,
        joined_at=now,
    )
    member.standing = policies.standing_when_let_in(member)
    member.save(force_insert=True)
    counting.follow(membership=member, now=now)
    deeds.note(what=Done.LISTED, by=by, whom=member, now=now)
    if line.consent:
        note_consent(by=by, membership=member, note=line.consent, now=now)
    return member


def take_back_list(*, by: Membership, list_id: int, now: datetime | None = None) -> int:
    """Remove everybody of the list that was saved last, while nobody of it has signed in.

    Nothing is left of them. Returns how many they were. Raises NotAllowed, or
    NoLongerPossible when it is another list, or somebody has signed in.
    """
    rights.require_coach(by)
    now = now or timezone.now()
    with transaction.atomic():
        Club.objects.select_for_update().only("pk").get(pk=by.club_id)
        found = newest_list(by, now)
        if found is None or found.id != list_id:
            raise NoLongerPossible(_("This list was taken back, or another was saved since."))
        if not found.may_be_undone:
            raise NoLongerPossible(
                _("Somebody of this list has signed in. Archive or erase single members instead.")
            )
        for member in found.members:
            rights.require_manage(by, member)
        Deed.objects.filter(whom__in=found.members).delete()
        for member in found.members:
            erase_account(member.person)
    return len(found.members)


def make_cards(
    *, by: Membership, memberships: Sequence[Membership], now: datetime | None = None
) -> list[SignInCard]:
    """A one-time code for each of some members whose account is open. Earlier ones stop working.

    Raises NotAllowed for who may not make them, InvalidEntry for nobody or too many.
    """
    rights.require_coach(by)
    now = now or timezone.now()
    if not memberships:
        raise InvalidEntry(_("No account is open among them, so there is no card."), field="who")
    if len(memberships) > MOST_CARDS:
        raise InvalidEntry(
            _("Cards are made for 1 to {most} members at once.").format(most=MOST_CARDS),
            field="who",
        )
    with transaction.atomic():
        for one in memberships:
            rights.require_enter(one)
        return [
            SignInCard(one, make_sign_in_code(by=by, membership=one, now=now))
            for one in memberships
        ]
