"""Accounts of a club's people: consent, one-time codes, phrases, closing and opening again."""

from __future__ import annotations

from datetime import datetime, timedelta

from axes.utils import reset as axes_reset
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from knox.models import get_token_model

from training.models import Membership, Person, Role, SignInCode, Standing
from training.services.errors import InvalidEntry, NotAllowed
from training.services.phrases import digest, new_code, plain_code
from training.services.rights import require_coach

CODE_DAYS = 7


def note_consent(
    *, by: Membership, membership: Membership, note: str, now: datetime | None = None
) -> Membership:
    """Note that a guardian agreed, and open the account. Raises NotAllowed or InvalidEntry."""
    require_coach(by, club_id=membership.club_id)
    if not note.strip():
        raise InvalidEntry(
            "Write who agreed and how, for example “mother, signed form of 3 March”.",
            field="note",
        )
    Membership.objects.filter(pk=membership.pk, standing=Standing.CONSENT).update(
        standing=Standing.ACTIVE,
        consent_noted_at=now or timezone.now(),
        consent_noted_by=by.person,
        consent_note=note.strip()[:200],
    )
    membership.refresh_from_db()
    return membership


def make_sign_in_code(
    *, by: Membership, membership: Membership, now: datetime | None = None
) -> str:
    """A one-time code for somebody who forgot the phrase; earlier ones stop working.

    A coach makes codes for members; only the owner for coaches, or the code
    would be a way into more than the coach may do. Raises NotAllowed.
    """
    now = now or timezone.now()
    require_coach(by, club_id=membership.club_id)
    if membership.is_coach and not by.is_owner:
        raise NotAllowed("Only the owner makes sign-in codes for coaches.")
    elsewhere = Membership.objects.filter(person=membership.person).exclude(club=by.club)
    if elsewhere.filter(role__in=(Role.OWNER, Role.COACH)).exists():
        raise NotAllowed(
            "This person coaches in another club: that club's owner makes the code.",
        )
    code = new_code()
    with transaction.atomic():
        SignInCode.objects.filter(person=membership.person, used_at__isnull=True).delete()
        SignInCode.objects.create(
            person=membership.person,
            made_by=by.person,
            token_hash=digest(plain_code(code)),
            created_at=now,
            expires_at=now + timedelta(days=CODE_DAYS),
        )
    # Whoever forgot the phrase has often locked the name by trying.
    axes_reset(username=membership.person.sign_in_name.casefold())
    return code


def make_owner_code(*, sign_in_name: str, now: datetime | None = None) -> str:
    """A one-time code for an owner, made by whoever runs the server. Raises InvalidEntry."""
    now = now or timezone.now()
    owner = Membership.objects.filter(
        person__sign_in_name__iexact=sign_in_name, role=Role.OWNER
    ).first()
    if owner is None:
        raise InvalidEntry(f"No owner has the sign-in name {sign_in_name!r}.")
    return make_sign_in_code(by=owner, membership=owner, now=now)


def choose_phrase(*, person: Person, phrase: str) -> None:
    """Set a new pass phrase. Raises InvalidEntry when it is weak."""
    check_phrase(phrase, person)
    person.set_password(phrase)
    person.must_choose_phrase = False
    with transaction.atomic():
        person.save(update_fields=["password", "must_choose_phrase"])
        # A new phrase ends every other way in; sessions end by themselves with the old hash.
        get_token_model().objects.filter(user=person).delete()


def check_phrase(phrase: str, person: Person) -> None:
    """Refuse a weak pass phrase. Raises InvalidEntry with what is wrong with it."""
    try:
        validate_password(phrase, person)
    except ValidationError as error:
        raise InvalidEntry(" ".join(error.messages), field="phrase") from None


def archive_membership(*, by: Membership, membership: Membership) -> Membership:
    """Close an account; its plans stay in old tables. Coaches are archived by the owner only."""
    require_coach(by, club_id=membership.club_id)
    if membership.is_owner:
        raise NotAllowed("The owner's account stays open.")
    if membership.is_coach and not by.is_owner:
        raise NotAllowed("Only the owner archives coaches.")
    Membership.objects.filter(pk=membership.pk).update(standing=Standing.ARCHIVED)
    membership.refresh_from_db()
    return membership


def reopen_membership(*, by: Membership, membership: Membership) -> Membership:
    """Open an archived account again; a child's waits for consent if none was noted."""
    require_coach(by, club_id=membership.club_id)
    if membership.is_coach and not by.is_owner:
        raise NotAllowed("Only the owner opens a coach's account again.")
    needs_consent = membership.under_18 and membership.consent_noted_at is None
    Membership.objects.filter(pk=membership.pk, standing=Standing.ARCHIVED).update(
        standing=Standing.CONSENT if needs_consent else Standing.ACTIVE
    )
    membership.refresh_from_db()
    return membership
