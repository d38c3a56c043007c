"""Which clubs somebody has been in on a device, by pass phrase: the device is known in them.

With a code from one club, a device known in each of the others stands for a code from them
(:func:`training.rights.may_choose_phrase`). It is bound to the pass phrase of that time, so a new
one ends it, and it opens nothing by itself.
"""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils.crypto import salted_hmac

from training.models import Person
from training.services.failures import DEVICE_DAYS

KNOWN_IN = "known-in"
PEOPLE_A_DEVICE = 5


def note_visit(request: HttpRequest, response: HttpResponseBase, club_id: int) -> None:
    """Have the device remember that its person, who came by pass phrase, is in a club."""
    person = request.user
    if not isinstance(person, Person) or person.opened_clubs is not None:
        return
    known = _known(request)
    mark = _mark_of(person)
    clubs = known.pop(mark, frozenset())
    if club_id in clubs:
        return
    kept = {mark: clubs | {club_id}, **known}
    lines = list(kept.items())[:PEOPLE_A_DEVICE]
    response.set_signed_cookie(
        KNOWN_IN,
        ".".join(f"{one}-{'-'.join(map(str, sorted(ids)))}" for one, ids in lines),
        max_age=DEVICE_DAYS * 24 * 60 * 60,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def clubs_known(request: HttpRequest, person: Person) -> frozenset[int]:
    """The clubs that somebody has been in on this device, by the pass phrase that still holds."""
    return _known(request).get(_mark_of(person), frozenset())


def _known(request: HttpRequest) -> dict[str, frozenset[int]]:
    found: dict[str, frozenset[int]] = {}
    for line in (request.get_signed_cookie(KNOWN_IN, "") or "").split("."):
        mark, *ids = line.split("-")
        if mark:
            found[mark] = frozenset(int(one) for one in ids)
    return found


def _mark_of(person: Person) -> str:
    bound = f"{person.pk}:{person.password}"
    return salted_hmac("training.known_devices", bound, algorithm="sha256").hexdigest()[:32]
