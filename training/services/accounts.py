"""Accounts of a club's people: consent, one-time codes, phrases, closing and opening again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from axes.models import AccessAttempt
from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.core.cache import cache
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Sum
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _
from knox.models import get_token_model

from training import policies, rights
from training.agreement import CURRENT as CURRENT_TEXT
from training.models import Club, Done, Membership, Person, Role, SignInCode, Standing
from training.refusals import InvalidEntry, NotAllowed, WrongSignIn
from training.services import counting, deeds, feeds
from training.services.failures import digest_of_name, forget_failures
from training.services.phrases import digest, new_code, plain_code
from training.services.sign_in import prove
from training.services.validating import require_storable

CODE_DAYS = 7
DIFFERENT_SIGNS = 4
LIFTS_AN_HOUR = 5


def note_consent(
    *, by: Membership, membership: Membership, note: str, now: datetime | None = None
) -> Membership:
    """Note that a guardian agreed, and open the account. Raises NotAllowed or InvalidEntry."""
    rights.require_coach(by, club_id=membership.club_id)
    note = require_storable(note, "note")
    if not note:
        raise InvalidEntry(
            _("Write who agreed and how, for example “mother, signed form of 3 March”."),
            field="note",
        )
    now = now or timezone.now()
    with transaction.atomic():
        noted = Membership.objects.filter(pk=membership.pk, standing=Standing.CONSENT).update(
            standing=Standing.ACTIVE,
            consent_noted_at=now,
            consent_noted_by=by.person,
            consent_note=note[:200],
            consent_text=CURRENT_TEXT,
            consent_withdrawn_at=None,
        )
        if noted:
            detail = str(CURRENT_TEXT)
            deeds.note(what=Done.CONSENT_NOTED, by=by, whom=membership, detail=detail, now=now)
        membership.refresh_from_db()
        counting.follow(membership=membership, now=now)
    return membership


def withdraw_consent(
    *, by: Membership, membership: Membership, now: datetime | None = None
) -> Membership:
    """Note that a guardian took the consent back: the account is closed until a new one is noted.

    What was noted stays, so that it can be shown. Raises NotAllowed, or
    NoLongerPossible where no consent stands.
    """
    rights.require_manage(by, membership)
    now = now or timezone.now()
    with transaction.atomic():
        membership.refresh_from_db(from_queryset=Membership.objects.select_for_update())
        policies.require_consent(membership)
        membership.consent_withdrawn_at = now
        # What a guardian agreed to besides goes with it.
        membership.outside_consent_at = membership.outside_consent_by = None
        if not policies.is_archived(membership):
            membership.standing = policies.standing_when_let_in(membership)
        outside = ["outside_consent_at", "outside_consent_by"]
        membership.save(update_fields=["consent_withdrawn_at", "standing", *outside])
        counting.follow(membership=membership, now=now)
        deeds.note(what=Done.CONSENT_WITHDRAWN, by=by, whom=membership, now=now)
    return membership


def make_sign_in_code(
    *, by: Membership, membership: Membership, now: datetime | None = None
) -> str:
    """A one-time code for somebody who forgot the phrase; the club's earlier ones stop working.

    It opens this club alone.

    Raises NotAllowed unless :func:`training.rights.may_make_code`.
    """
    rights.require_make_code(by, membership)
    now = now or timezone.now()
    with transaction.atomic():
        deeds.note(what=Done.CARD, by=by, whom=membership, now=now)
        return _new_code(membership.person, by.person, membership.club, now)


def _new_code(person: Person, made_by: Person, club: Club | None, now: datetime) -> str:
    code = new_code()
    with transaction.atomic():
        SignInCode.objects.filter(person=person, club=club).unused().delete()
        SignInCode.objects.create(
            club=club,
            person=person,
            made_by=made_by,
            token_hash=digest(plain_code(code)),
            created_at=now,
            expires_at=now + timedelta(days=CODE_DAYS),
        )
    return code


def make_owner_code(*, sign_in_name: str, now: datetime | None = None) -> str:
    """A one-time code for an owner, made by whoever runs the server. Raises InvalidEntry."""
    require_storable(sign_in_name, "sign_in_name")
    owner = (
        Membership.objects.filter(person__sign_in_name__iexact=sign_in_name, role=Role.OWNER)
        .select_related("person")
        .first()
    )
    if owner is None:
        raise InvalidEntry(_("No owner has the sign-in name “{name}”.").format(name=sign_in_name))
    now = now or timezone.now()
    with transaction.atomic():
        for one in Membership.objects.filter(person=owner.person):
            deeds.note(what=Done.CARD, by=None, whom=one, now=now)
        return _new_code(owner.person, owner.person, None, now)


def choose_phrase(
    *, person: Person, phrase: str, request: HttpRequest, old_phrase: str = ""
) -> None:
    """Set a new pass phrase, for the old one or when codes permit it without.

    Raises InvalidEntry when it is weak or the old one, or ``old_phrase`` is not
    right (unless :func:`training.rights.may_choose_phrase`); LockedOut after too many tries.
    """
    if old_phrase:
        try:
            prove(request=request, sign_in_name=person.sign_in_name, phrase=old_phrase)
        except WrongSignIn:
            raise InvalidEntry(
                _(
                    "This is not your pass phrase. If you forgot it, a coach of each of your "
                    "clubs can give you a one-time code."
                ),
                field="old_phrase",
            ) from None
    else:
        rights.require_choose_phrase(person)
    check_phrase(phrase, person)
    if person.check_password(phrase):
        raise InvalidEntry(_("This is the pass phrase that you have already."), field="phrase")
    person.set_password(phrase)
    person.must_choose_phrase = False
    with transaction.atomic():
        person.save(update_fields=["password", "must_choose_phrase"])
        # A new phrase ends every other way in; sessions end by themselves with the old hash.
        get_token_model().objects.filter(user=person).delete()
        SignInCode.objects.filter(person=person).unused().delete()
    # Whoever forgot the phrase has often locked the name by trying.
    forget_failures(person.sign_in_name)
    person.opened_clubs, person.code_clubs = None, frozenset()


def check_phrase(phrase: str, person: Person) -> None:
    """Refuse a weak pass phrase. Raises InvalidEntry with what is wrong with it."""
    require_storable(phrase, "phrase")
    if len(set(phrase.casefold())) < DIFFERENT_SIGNS:
        raise InvalidEntry(
            _("Use at least {count} different letters or signs.").format(count=DIFFERENT_SIGNS),
            field="phrase",
        )
    try:
        validate_password(phrase, person)
    except ValidationError as error:
        raise InvalidEntry(" ".join(error.messages), field="phrase") from None


def locked_among(people: Iterable[Membership], *, now: datetime | None = None) -> set[int]:
    """The ids of those whose name is locked somewhere after too many failures. One query."""
    since = (now or timezone.now()) - settings.AXES_COOLOFF_TIME
    locked = {
        one.partition(".")[0]
        for one in AccessAttempt.objects.filter(attempt_time__gte=since)
        .values("username", "ip_address")
        .annotate(failures=Sum("failures_since_start"))
        .filter(failures__gte=settings.AXES_FAILURE_LIMIT)
        .order_by()
        .values_list("username", flat=True)
        if one
    }
    return {one.pk for one in people if digest_of_name(one.person.sign_in_name) in locked}


def lift_lock(*, by: Membership, membership: Membership) -> None:
    """Let somebody try again at once who failed too often.

    Raises NotAllowed unless :func:`training.rights.may_lift_lock`, and after
    ``LIFTS_AN_HOUR`` for one person: it must not become a way to guess on.
    """
    rights.require_lift_lock(by, membership)
    key = f"locks-lifted:{membership.person_id}"
    cache.add(key, 0, 60 * 60)
    if cache.get(key, 0) >= LIFTS_AN_HOUR:
        raise NotAllowed(
            _("This lock was lifted often in the last hour. Make a sign-in card instead.")
        )
    cache.incr(key)
    forget_failures(membership.person.sign_in_name)
    deeds.note(what=Done.LOCK_LIFTED, by=by, whom=membership)


def archive_membership(
    *, by: Membership, membership: Membership, now: datetime | None = None
) -> Membership:
    """Close an account; its plans stay in old tables.

    Raises NotAllowed unless :func:`training.rights.may_archive`.
    """
    rights.require_archive(by, membership)
    with transaction.atomic():
        open_ones = Membership.objects.filter(pk=membership.pk).not_archived()
        if open_ones.update(standing=Standing.ARCHIVED):
            deeds.note(what=Done.ARCHIVED, by=by, whom=membership, now=now)
            feeds.take_address_back(membership=membership)
        membership.refresh_from_db()
        counting.follow(membership=membership, now=now or timezone.now())
    return membership


def reopen_membership(
    *, by: Membership, membership: Membership, now: datetime | None = None
) -> Membership:
    """Open an archived account again; a child's waits for consent if none was noted.

    Raises NotAllowed unless :func:`training.rights.may_manage`.
    """
    rights.require_manage(by, membership)
    with transaction.atomic():
        archived = Membership.objects.filter(pk=membership.pk, standing=Standing.ARCHIVED)
        if archived.update(standing=policies.standing_when_let_in(membership)):
            deeds.note(what=Done.REOPENED, by=by, whom=membership, now=now)
        membership.refresh_from_db()
        counting.follow(membership=membership, now=now or timezone.now())
    return membership
