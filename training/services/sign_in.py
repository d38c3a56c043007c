"""Signing in: one way for pages and programs, with a limit on trying.

Failures under one name from one address lock that pair for a while
(django-axes). Nothing locks an address alone: a whole club sits behind it.

One-time codes are not counted at all. They are 60 random bits and work for a
week: a thousand guesses a second all week long are 6 x 10^8 of 1.15 x 10^18, a
chance of 1 in 1,900 million.
"""

from __future__ import annotations

from axes.handlers.proxy import AxesProxyHandler
from django.contrib.auth import authenticate
from django.http import HttpRequest
from django.utils.translation import gettext as _

from training.models import Person
from training.refusals import LockedOut, WrongSignIn
from training.rights import may_choose_phrase
from training.services.backends import OneTimeCodeBackend
from training.services.failures import forget_failures, forget_failures_here
from training.texts import first_unstorable


def prove(
    *, request: HttpRequest, sign_in_name: str, phrase: str = "", one_time_code: str = ""
) -> Person:
    """The person that name and phrase (or name and one-time code) belong to.

    Raises WrongSignIn or LockedOut. Says the same whether the name is unknown
    or the phrase is wrong.
    """
    name = sign_in_name.strip()
    # What no database keeps is nobody's name, and nobody's failures are counted under it.
    known = first_unstorable(name + phrase) is None
    if one_time_code:
        person = OneTimeCodeBackend().authenticate(request, name, one_time_code) if known else None
        if person is not None:
            # By codes that permit a new phrase, not by one coach's alone: otherwise that coach
            # could make another code after each few guesses at the old phrase, and guess on.
            if may_choose_phrase(person):
                forget_failures(name)
            return person
        raise WrongSignIn(
            _(
                "Name and code do not match, or the code has been used or has run out. Your "
                "sign-in name may differ from the name that others see; it stands on the card. A "
                "coach can make a new one."
            ),
            field="code",
        )
    found = authenticate(request, username=name, password=phrase) if known else None
    if isinstance(found, Person):
        forget_failures_here(request, name)
        return found
    if known and not AxesProxyHandler.is_allowed(request, {"username": name}):
        request.locked_name = name  # type: ignore[attr-defined]
        raise LockedOut(
            _(
                "Too many tries failed for this name. Wait a quarter of an hour, or ask a coach "
                "to let you try again or for a one-time code."
            ),
            field="sign_in_name",
        )
    raise WrongSignIn(
        _(
            "Name and pass phrase do not match. Your sign-in name may differ from the name that "
            "others see. If you forgot the phrase, a coach can give you a one-time code."
        ),
        field="phrase",
    )
