"""Who is let in: the first owner, and whoever holds an invite."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training import dispatch, policies, rights
from training.models import (
    Club,
    Invite,
    Membership,
    OwnerLink,
    Person,
    Role,
)
from training.refusals import InvalidEntry, LinkUsedUp
from training.services import counting
from training.services.accounts import check_phrase
from training.services.naming import (
    free_sign_in_name,
    require_apart,
    shown_name,
    taken_in_club,
)
from training.services.phrases import digest, new_token
from training.services.validating import require_storable, require_valid

OWNER_LINK_DAYS = 7
MOST_NAMES = 40
INVITE_DAYS = 14
INVITED_ROLES = (Role.MEMBER, Role.COACH)

MOST_LETTERS_OF_A_CLUB = 60

LINK_GONE = gettext_lazy(
    "This link has been used, has run out or is not whole. Ask the person who sent it for a new "
    "one."
)


@dataclass(frozen=True, slots=True)
class NewAccount:
    """What somebody writes to get an account."""

    sign_in_name: str
    display_name: str
    phrase: str


# The first owner ------------------------------------------------------------


def make_owner_link(*, base_url: str, now: datetime | None = None) -> str:
    """A one-time address at which the first owner sets up the club. Earlier ones stop working."""
    now = now or timezone.now()
    token = new_token()
    with transaction.atomic():
        OwnerLink.objects.unused().delete()
        OwnerLink.objects.create(
            token_hash=digest(token),
            created_at=now,
            expires_at=now + timedelta(days=OWNER_LINK_DAYS),
        )
    return f"{base_url.rstrip('/')}/start/{token}/"


def needs_first_owner() -> bool:
    """Whether nobody owns a club here yet."""
    return not Membership.objects.filter(role=Role.OWNER).exists()


def find_owner_link(*, token: str, now: datetime | None = None) -> OwnerLink:
    """The link that ``token`` opens. Raises LinkUsedUp."""
    links = OwnerLink.objects.unused().not_expired(now or timezone.now())
    found = links.filter(token_hash=digest(token)).first()
    if found is None:
        raise LinkUsedUp(str(LINK_GONE))
    return found


def start_club(
    *,
    token: str,
    club_name: str,
    time_zone: str,
    account: NewAccount,
    now: datetime | None = None,
) -> Membership:
    """Set up a club and its owner, by the one-time link. Raises LinkUsedUp or InvalidEntry."""
    now = now or timezone.now()
    link = find_owner_link(token=token, now=now)
    require_valid(Club(time_zone=time_zone), ["time_zone"])
    name = require_storable(club_name, "club_name")
    if not 0 < len(name) <= MOST_LETTERS_OF_A_CLUB:
        raise InvalidEntry(
            _("Give the club a name of 1 to {most} letters.").format(most=MOST_LETTERS_OF_A_CLUB),
            field="club_name",
        )
    with transaction.atomic():
        used = OwnerLink.objects.filter(pk=link.pk).unused().update(used_at=now)
        if used != 1:
            raise LinkUsedUp(str(LINK_GONE))
        club = Club.objects.create(
            name=name, slug=_free_slug(name), time_zone=time_zone, created_at=now
        )
        person = _make_person(account)
        owner = Membership.objects.create(
            club=club,
            person=person,
            display_name=shown_name(account.display_name),
            role=Role.OWNER,
            competes=False,
            joined_at=now,
        )
        dispatch.ask_for_drawing_after_commit()
    return owner


def _free_slug(name: str) -> str:
    base = slugify(name)[:50] or "club"
    taken = set(Club.objects.filter(slug__startswith=base).values_list("slug", flat=True))
    return next(
        slug
        for slug in (base, *(f"{base}-{n}" for n in range(2, len(taken) + 3)))
        if slug not in taken
    )


# Invites ---------------------------------------------------------------------


def make_invite(
    *,
    by: Membership,
    role: str = Role.MEMBER,
    places: int = 40,
    days: int = INVITE_DAYS,
    made_for: str = "",
    now: datetime | None = None,
) -> tuple[Invite, str]:
    """An invite and its secret token, which is shown once.

    Who comes by it waits to be let in, unless it is ``made_for`` one person by name.
    Raises NotAllowed unless :func:`training.rights.may_invite`, or InvalidEntry.
    """
    now = now or timezone.now()
    rights.require_invite(by, role)
    if role not in INVITED_ROLES:
        raise InvalidEntry(_("An invite is for a member or a coach."), field="role")
    if not 1 <= places <= 500:
        raise InvalidEntry(_("An invite is for between 1 and 500 people."), field="places")
    if not 1 <= days <= 90:
        raise InvalidEntry(_("An invite works for between 1 and 90 days."), field="days")
    token = new_token()
    invite = Invite.objects.create(
        club=by.club,
        role=role,
        made_by=by.person,
        places=places,
        made_for=made_for,
        token_hash=digest(token),
        created_at=now,
        expires_at=now + timedelta(days=days),
    )
    return invite, token


def make_invites_by_name(
    *,
    by: Membership,
    names: Sequence[str],
    role: str = Role.MEMBER,
    days: int = INVITE_DAYS,
    now: datetime | None = None,
) -> list[tuple[Invite, str]]:
    """An invite for each of the people named, with its secret token: a link lets in one alone.

    Who comes by one need not wait for a coach. Raises as :func:`make_invite`.
    """
    called = list(dict.fromkeys(shown_name(one, "names") for one in names if one.strip()))
    if not 1 <= len(called) <= MOST_NAMES:
        raise InvalidEntry(
            _("Name between 1 and {most} people, one in a line.").format(most=MOST_NAMES),
            field="names",
        )
    with transaction.atomic():
        return [
            make_invite(by=by, role=role, places=1, days=days, made_for=name, now=now)
            for name in called
        ]


def withdraw_invite(*, by: Membership, invite: Invite, now: datetime | None = None) -> None:
    """Make an invite's link stop working."""
    rights.require_coach(by, club_id=invite.club_id)
    Invite.objects.filter(pk=invite.pk, withdrawn_at__isnull=True).update(
        withdrawn_at=now or timezone.now()
    )


def find_invite(*, token: str, now: datetime | None = None) -> Invite:
    """The invite that ``token`` opens. Raises LinkUsedUp when it is used up, withdrawn or old."""
    invites = Invite.objects.usable(now or timezone.now()).select_related("club")
    found = invites.filter(token_hash=digest(token)).first()
    if found is None:
        raise LinkUsedUp(str(LINK_GONE))
    return found


def join_by_invite(
    *,
    token: str,
    account: NewAccount | None = None,
    person: Person | None = None,
    display_name: str = "",
    under_18: bool,
    now: datetime | None = None,
) -> Membership:
    """Join a club by an invite: with a new ``account``, or as the signed-in ``person``.

    Somebody under 18 waits until a coach has noted the guardian's consent, and whoever
    comes by a link without a name until a coach lets them in. Raises LinkUsedUp or
    InvalidEntry; nothing is stored then.
    """
    now = now or timezone.now()
    invite = find_invite(token=token, now=now)
    if person is not None:
        rights.require_join(person)
    with transaction.atomic():
        places = Invite.objects.usable(now).filter(pk=invite.pk)
        # The name that a link was made for is of no more use, and nobody's erase would find it.
        taken = places.update(taken=F("taken") + 1, made_for="")
        if taken != 1:
            raise LinkUsedUp(str(LINK_GONE))
        if person is None:
            if account is None:
                raise InvalidEntry(_("Choose a sign-in name."), field="sign_in_name")
            display_name = account.display_name
            person = _make_person(account)
        if Membership.objects.filter(club=invite.club, person=person).exists():
            raise InvalidEntry(_("You already belong to this club."), field="display_name")
        return _make_membership(
            invite=invite,
            person=person,
            display_name=display_name,
            under_18=under_18,
            now=now,
        )


def _make_membership(
    *, invite: Invite, person: Person, display_name: str, under_18: bool, now: datetime
) -> Membership:
    name = shown_name(display_name)
    require_apart(name, invite.club)
    made = Membership(
        club=invite.club,
        person=person,
        display_name=name,
        role=invite.role,
        competes=invite.role == Role.MEMBER,
        under_18=under_18,
        joined_at=now,
    )
    made.standing = policies.standing_of_newcomer(made, by_name=bool(invite.made_for))
    try:
        # The database decides, so that of two who come at once with one name one is told.
        with transaction.atomic():
            made.save(force_insert=True)
            counting.follow(membership=made, now=now)
    except IntegrityError:
        raise taken_in_club(name) from None
    return made


def _make_person(account: NewAccount) -> Person:
    name = free_sign_in_name(account.sign_in_name)
    shown_name(account.display_name)
    check_phrase(account.phrase, Person(sign_in_name=name))
    try:
        with transaction.atomic():
            return Person.objects.create_person(name, account.phrase)
    except IntegrityError:
        raise InvalidEntry(
            _("This sign-in name was taken a moment ago. Choose another."), field="sign_in_name"
        ) from None
