"""Everything that is kept about a person, as one value: the account, and each club's part."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from axes.models import AccessAttempt, AccessLog
from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.models import Session
from django.db.models import Q
from knox.models import get_token_model

from training.models import Membership, Person, SignedIn, SignInCode
from training.rights import may_answer_for_all, may_open
from training.selectors.club_data import data_in_club
from training.selectors.kept_in_club import ClubData


@dataclass(frozen=True, slots=True)
class KeptToken:
    """A program that is signed in, or was, and which clubs it opens. The token is not kept."""

    program: str
    clubs: tuple[str, ...]
    scopes: tuple[str, ...]
    made_at: datetime
    expires_at: datetime | None


@dataclass(frozen=True, slots=True)
class KeptBrowser:
    """A browser in which somebody is signed in, as far as it is known which, and since when."""

    browser: str
    system: str
    began_at: datetime


@dataclass(frozen=True, slots=True)
class KeptCard:
    """A one-time sign-in card that was made. The code itself is not kept."""

    club: str
    made_at: datetime
    expires_at: datetime
    used_at: datetime | None


@dataclass(frozen=True, slots=True)
class KeptAccess:
    """Somebody signed in under the name, or failed to: when, from which address and program."""

    at: datetime
    failed: bool
    address: str
    program: str


@dataclass(frozen=True, slots=True)
class AccountData:
    """All that is kept of a person beside the clubs. The pass phrase is kept as a hash alone."""

    created_at: datetime
    language: str
    must_choose_phrase: bool
    last_login: datetime | None
    sessions: tuple[datetime, ...]
    browsers: tuple[KeptBrowser, ...]
    tokens: tuple[KeptToken, ...]
    cards: tuple[KeptCard, ...]
    cards_made: tuple[KeptCard, ...]
    access: tuple[KeptAccess, ...]


@dataclass(frozen=True, slots=True)
class OwnData:
    """Everything about a person.

    ``account`` is None for a sign-in that opens chosen clubs alone: a one-time code, a token.
    """

    read_out_at: datetime
    sign_in_name: str
    account: AccountData | None
    clubs: tuple[ClubData, ...]


def data_of(person: Person, now: datetime, *, counted_as: str) -> OwnData:
    """Everything about a person, of the clubs that this sign-in opens.

    ``counted_as``: what failures under the sign-in name are counted under.
    """
    memberships = Membership.objects.filter(person=person).select_related("club", "person")
    ours = [one for one in memberships.order_by("club__name") if may_open(person, one.club_id)]
    return OwnData(
        read_out_at=now,
        sign_in_name=person.sign_in_name,
        account=_account(person, counted_as) if may_answer_for_all(person) else None,
        clubs=tuple(data_in_club(one, one, now) for one in ours),
    )


def _account(person: Person, counted_as: str) -> AccountData:
    cards = SignInCode.objects.select_related("club").order_by("created_at")
    named = Q(username__startswith=counted_as) | Q(username__iexact=person.sign_in_name)
    access = [
        KeptAccess(one.attempt_time, failed, one.ip_address or "", one.user_agent)
        for kept, failed in ((AccessAttempt, True), (AccessLog, False))
        for one in kept.objects.filter(named)
    ]
    return AccountData(
        created_at=person.created_at,
        language=person.language,
        must_choose_phrase=person.must_choose_phrase,
        last_login=person.last_login,
        sessions=_sessions(person),
        browsers=tuple(
            KeptBrowser(one.browser, one.system, one.began_at)
            for one in SignedIn.objects.filter(person=person)
        ),
        tokens=_tokens(person),
        cards=_cards(cards.filter(person=person)),
        cards_made=_cards(cards.filter(made_by=person).exclude(person=person)),
        access=tuple(sorted(access, key=lambda one: one.at)),
    )


def _tokens(person: Person) -> tuple[KeptToken, ...]:
    tokens = get_token_model().objects.filter(user=person).select_related("reach")
    names = dict(Membership.objects.filter(person=person).values_list("club_id", "club__name"))
    return tuple(
        KeptToken(
            program=one.reach.program if hasattr(one, "reach") else "",
            clubs=tuple(names[club] for club in one.reach.clubs if club in names)
            if hasattr(one, "reach")
            else (),
            scopes=tuple(one.reach.scopes) if hasattr(one, "reach") else (),
            made_at=one.created,
            expires_at=one.expiry,
        )
        for one in tokens.order_by("created")
    )


def _sessions(person: Person) -> tuple[datetime, ...]:
    """Until when each browser stays signed in. Sessions hold whose they are inside."""
    theirs = [
        one.expire_date
        for one in Session.objects.iterator()
        if one.get_decoded().get(SESSION_KEY) == str(person.pk)
    ]
    return tuple(sorted(theirs))


def _cards(codes: Iterable[SignInCode]) -> tuple[KeptCard, ...]:
    return tuple(
        KeptCard(
            one.club.name if one.club is not None else "",
            one.created_at,
            one.expires_at,
            one.used_at,
        )
        for one in codes
    )
