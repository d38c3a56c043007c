"""Putting right what stands of somebody: names, role, age. Each is a line of the log."""

from __future__ import annotations

from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import policies, rights
from training.models import Club, Done, Membership, Person, Role
from training.refusals import InvalidEntry
from training.services import counting, deeds
from training.services.failures import forget_person
from training.services.naming import (
    free_sign_in_name,
    require_apart,
    shown_name,
    taken_in_club,
)


def rename(
    *, by: Membership, membership: Membership, display_name: str, now: datetime | None = None
) -> Membership:
    """Change the name that others in the club see. Raises NotAllowed or InvalidEntry.

    By the same rules as a new one; another case of the same name is allowed.
    """
    rights.require_rename(by, membership)
    name = shown_name(display_name)
    if name == membership.display_name:
        return membership
    try:
        with transaction.atomic():
            require_apart(name, membership.club, besides=membership)
            membership.display_name = name
            membership.save(update_fields=["display_name"])
            deeds.note(what=Done.RENAMED, by=by, whom=membership, now=now)
    except IntegrityError:
        membership.refresh_from_db()
        raise taken_in_club(name) from None
    return membership


def choose_named_outside(
    *, membership: Membership, named: bool, now: datetime | None = None
) -> Membership:
    """Say whether the own name may stand outside the club; it is the member's own to say."""
    if named != membership.named_outside:
        with transaction.atomic():
            membership.named_outside = named
            membership.save(update_fields=["named_outside"])
            detail = "named" if named else "unnamed"
            deeds.note(what=Done.OUTSIDE, by=membership, whom=membership, detail=detail, now=now)
    return membership


def note_guardian_on_naming(
    *, by: Membership, membership: Membership, agrees: bool, now: datetime | None = None
) -> Membership:
    """Note whether a guardian lets a child be named outside the club; apart from the consent.

    The child must have said so, too. Raises NotAllowed unless
    :func:`training.rights.may_manage`, InvalidEntry for somebody who is no child.
    """
    rights.require_manage(by, membership)
    if not membership.under_18:
        raise InvalidEntry(_("Only for somebody under 18 does a guardian say so."))
    now = now or timezone.now()
    if agrees == (membership.outside_consent_at is not None):
        return membership
    with transaction.atomic():
        membership.outside_consent_at = now if agrees else None
        membership.outside_consent_by = by.person if agrees else None
        membership.save(update_fields=["outside_consent_at", "outside_consent_by"])
        detail = "agreed" if agrees else "taken_back"
        deeds.note(what=Done.GUARDIAN_ON_NAMING, by=by, whom=membership, detail=detail, now=now)
    return membership


def change_sign_in_name(
    *, person: Person, sign_in_name: str, now: datetime | None = None
) -> Person:
    """Change the name that somebody signs in with; it is the person's own to change.

    Sessions and tokens stay. Raises NotAllowed unless
    :func:`training.rights.may_answer_for_all`, or InvalidEntry.
    """
    rights.require_answer_for_all(person)
    before = person.sign_in_name
    if sign_in_name.strip() == before:
        return person
    name = free_sign_in_name(sign_in_name, besides=person)
    try:
        with transaction.atomic():
            person.sign_in_name = name
            person.save(update_fields=["sign_in_name"])
            for one in Membership.objects.filter(person=person):
                deeds.note(what=Done.SIGN_IN_NAME, by=one, whom=one, now=now)
    except IntegrityError:
        person.refresh_from_db()
        raise InvalidEntry(
            _("This sign-in name was taken a moment ago. Choose another."), field="sign_in_name"
        ) from None
    forget_person(before)
    return person


def change_role(
    *, by: Membership, membership: Membership, role: str, now: datetime | None = None
) -> Membership:
    """Make somebody a member, a coach, or an owner beside the others.

    Raises NotAllowed unless :func:`training.rights.may_change_role`, InvalidEntry,
    NoLongerPossible for the last owner.
    """
    rights.require_change_role(by, membership)
    if role not in Role.values:
        raise InvalidEntry(_("Choose member, coach or owner."), field="role")
    with transaction.atomic():
        # Of two owners who step back at once, one must find the other no owner any more.
        Club.objects.select_for_update().only("pk").get(pk=membership.club_id)
        membership.refresh_from_db()
        if role == membership.role:
            return membership
        if role == Role.OWNER:
            rights.require_enter(membership)
        else:
            policies.require_another_owner(membership)
        membership.role = role
        if role == Role.MEMBER:
            membership.competes, membership.stopped_competing_at = True, None
        membership.save(update_fields=["role", "competes", "stopped_competing_at"])
        counting.follow(membership=membership, now=now or timezone.now())
        deeds.note(what=Done.ROLE, by=by, whom=membership, detail=role, now=now)
    return membership


def hand_over(*, by: Membership, membership: Membership, now: datetime | None = None) -> Membership:
    """Make somebody else the owner in one's own place, and stay a coach. Both or neither.

    Raises NotAllowed, or InvalidEntry for oneself.
    """
    if by.pk == membership.pk:
        raise InvalidEntry(_("Hand the club over to somebody else."), field="role")
    with transaction.atomic():
        change_role(by=by, membership=membership, role=Role.OWNER, now=now)
        change_role(by=by, membership=by, role=Role.COACH, now=now)
    return membership


def mark_age(
    *, by: Membership, membership: Membership, under_18: bool, now: datetime | None = None
) -> Membership:
    """Put right a wrongly ticked age. A child without a noted consent waits for it from now on.

    Raises NotAllowed unless :func:`training.rights.may_mark_age`.
    """
    rights.require_mark_age(by, membership)
    with transaction.atomic():
        membership.refresh_from_db(from_queryset=Membership.objects.select_for_update())
        if under_18 == membership.under_18:
            return membership
        membership.under_18 = under_18
        if policies.follows_age(membership):
            membership.standing = policies.standing_when_let_in(membership)
        membership.save(update_fields=["under_18", "standing"])
        counting.follow(membership=membership, now=now or timezone.now())
        detail = "under_18" if under_18 else "adult"
        deeds.note(what=Done.AGE, by=by, whom=membership, detail=detail, now=now)
    return membership
