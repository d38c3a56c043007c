"""Signing in: one way for pages and programs, with limits on trying.

Two limits work side by side. Failures under one name from one address lock
that pair for a while (django-axes); a whole club may sit behind one address,
so the limit on the address alone is generous.
"""

from __future__ import annotations

from typing import Any

from axes.handlers.proxy import AxesProxyHandler
from django.contrib.auth import authenticate
from django.core.cache import cache
from django.http import HttpRequest
from django.utils.translation import gettext as _

from training.models import Person
from training.refusals import LockedOut, WrongSignIn
from training.services.failures import client_address
from training.texts import first_unstorable

FAILURES_AN_ADDRESS = 200
WINDOW_SECONDS = 15 * 60


def prove(
    *, request: HttpRequest, sign_in_name: str, phrase: str = "", one_time_code: str = ""
) -> Person:
    """The person that name and phrase (or name and one-time code) belong to.

    Raises WrongSignIn or LockedOut. Says the same whether the name is unknown
    or the phrase is wrong.
    """
    name = sign_in_name.strip()
    key = f"sign-in-failures:{client_address(request)}"
    if cache.get(key, 0) >= FAILURES_AN_ADDRESS:
        raise LockedOut(
            _("Too many tries failed from this network. Wait a quarter of an hour."),
            field="sign_in_name",
        )
    credentials: dict[str, Any] = {"username": name}
    if one_time_code:
        credentials["code"] = one_time_code
    else:
        credentials["password"] = phrase
    # What no database keeps is nobody's name, and nobody's failures are counted under it.
    known = first_unstorable(name + phrase) is None
    person = authenticate(request, **credentials) if known else None
    if person is not None:
        return person
    _count_failure(key)
    if known and not AxesProxyHandler.is_allowed(request, {"username": name}):
        raise LockedOut(
            _(
                "Too many tries failed for this name. Wait a quarter of an hour, or ask a coach "
                "for a one-time code."
            ),
            field="sign_in_name",
        )
    if one_time_code:
        raise WrongSignIn(
            _(
                "Name and code do not match, or the code has been used or has run out. A coach "
                "can make a new one."
            ),
            field="code",
        )
    raise WrongSignIn(
        _(
            "Name and pass phrase do not match. If you forgot the phrase, a coach can give you a "
            "one-time code."
        ),
        field="phrase",
    )


def _count_failure(key: str) -> None:
    cache.add(key, 0, WINDOW_SECONDS)
    try:
        cache.incr(key)
    except ValueError:
        # It ran out between the two calls.
        cache.set(key, 1, WINDOW_SECONDS)
