"""Tokens of programs: each opens the clubs that were chosen when it was made."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from hmac import compare_digest
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from knox.crypto import hash_token
from knox.models import get_token_model
from knox.settings import CONSTANTS, knox_settings

from training.models import LEAST, Membership, Person, Scope, TokenReach
from training.prepared import TEXT, Prepared
from training.refusals import InvalidEntry, NotAllowed


def make_token(
    *,
    person: Person,
    clubs: Collection[str] | None = None,
    scopes: Collection[str] = LEAST,
    program: str = "",
    now: datetime | None = None,
) -> tuple[Any, str]:
    """A token and its secret, which is told once.

    ``clubs``: the clubs that it opens, by the name in their addresses; None for
    all that the person belongs to now. ``scopes``: what it lets a program do there; the
    least unless more is said. Raises InvalidEntry for another club, in the same words
    whether it is there, and for no scope; NotAllowed when too many tokens are open.
    """
    now = now or timezone.now()
    tokens = get_token_model().objects
    if not scopes:
        raise InvalidEntry(_("Choose at least one thing that the program may do."), field="scopes")
    with transaction.atomic():
        tokens.filter(user=person, expiry__lte=now).delete()
        alive = tokens.filter(user=person).count()
        if alive >= knox_settings.TOKEN_LIMIT_PER_USER:
            raise NotAllowed(
                ngettext(
                    "{count} token is open, and that is the most. Sign out with it, or choose a "
                    "new pass phrase to end it.",
                    "{count} tokens are open, and that is the most. Sign out with one of them, or "
                    "choose a new pass phrase to end them all.",
                    alive,
                ).format(count=alive)
            )
        reach = _reach(person, clubs)
        token, secret = tokens.create(user=person)
        chosen = [one.value for one in Scope if one in set(scopes)]
        TokenReach.objects.create(token=token, clubs=reach, scopes=chosen, program=program)
    return token, secret


def _reach(person: Person, clubs: Collection[str] | None) -> list[int]:
    own = dict(Membership.objects.filter(person=person).values_list("club__slug", "club_id"))
    for slug in clubs or ():
        if slug not in own:
            raise InvalidEntry(
                _("You belong to no club “{name}”.").format(name=slug), field="clubs"
            )
    return sorted(own[slug] for slug in (own if clubs is None else set(clubs)))


def find_token(secret: str, *, now: datetime | None = None) -> Any | None:
    """The token with this secret, with its person, who knows which clubs it opens; or None.

    One query. None for one that has run out and for a person who is not active.
    """
    now = now or timezone.now()
    wanted = hash_token(secret)
    for token in _by_key(secret[: CONSTANTS.TOKEN_KEY_LENGTH]):
        alive = token.expiry is not None and token.expiry > now and token.user.is_active
        if alive and compare_digest(wanted, token.digest):
            reach = getattr(token, "reach", None)
            token.user.opened_clubs = frozenset(reach.clubs if reach is not None else ())
            return token
    return None


_by_key: Prepared[Any] = Prepared(
    lambda key: (
        get_token_model().objects.filter(token_key=key).select_related("user", "reach").order_by()
    ),
    TEXT,
)
