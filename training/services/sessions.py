"""Sessions know which clubs they open: by a pass phrase all, by a coach's code that coach's."""

from __future__ import annotations

from typing import Any

from django.contrib.auth import BACKEND_SESSION_KEY, SESSION_KEY, login
from django.contrib.auth.middleware import AuthenticationMiddleware, get_user
from django.contrib.auth.models import AnonymousUser
from django.contrib.sessions.models import Session
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils import timezone
from django.utils.functional import SimpleLazyObject

from training.models import Person, SignedIn
from training.services.counting import note_sign_in
from training.services.failures import know_device
from training.services.known_devices import clubs_known, note_visit
from training.user_agents import known_as

BY_PHRASE = "training.services.backends.PhraseBackend"
BY_CODE = "training.services.backends.OneTimeCodeBackend"
_CODE_CLUBS = "code_clubs"


class SessionsKnowTheirClubs(AuthenticationMiddleware):
    """Django's own, but the person knows which clubs this session opens."""

    def process_request(self, request: HttpRequest) -> None:
        """Put ``request.user`` there, found when first asked for."""
        super().process_request(request)
        request.user = SimpleLazyObject(lambda: _person_of(request))  # type: ignore[assignment]
        # The other way to ask would know no clubs.
        del request.auser

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> Any:
        """Let a device be known on which a pass phrase was right."""
        entered = getattr(request, "entered", None)
        if entered is not None:
            know_device(request, response, entered)
        viewer = getattr(request, "viewer", None)
        if viewer is not None:
            note_visit(request, response, viewer.club_id)
        return response


def enter(request: HttpRequest, person: Person) -> None:
    """Sign somebody in, as they just proved who they are.

    A code given by somebody signed in already adds its club to theirs.
    """
    here = request.user
    if person.opened_clubs is None:
        login(request, person, backend=BY_PHRASE)
        request.session.pop(_CODE_CLUBS, None)
        request.entered = person.sign_in_name  # type: ignore[attr-defined]
        _note(request, person)
        return
    codes = set(person.code_clubs)
    backend = BY_CODE
    if isinstance(here, Person) and here.pk == person.pk:
        codes |= here.code_clubs
        backend = BY_CODE if here.opened_clubs is not None else BY_PHRASE
    person.code_clubs = frozenset(codes)
    person.device_clubs = clubs_known(request, person)
    person.opened_clubs = person.code_clubs if backend == BY_CODE else None
    login(request, person, backend=backend)
    request.session[_CODE_CLUBS] = sorted(codes)
    _note(request, person)


def _note(request: HttpRequest, person: Person) -> None:
    """Note that and where somebody is signed in, so that they can look and end it there."""
    note_sign_in(person=person)
    if request.session.session_key is None:
        request.session.create()
    browser, system = known_as(request.headers.get("User-Agent", ""))
    SignedIn.objects.update_or_create(
        session_id=request.session.session_key,
        defaults={
            "person": person,
            "began_at": timezone.now(),
            "browser": browser,
            "system": system,
        },
    )


def forget_sessions(person: Person) -> int:
    """Delete every session of somebody, also those that have run out. Returns how many.

    Sessions hold whose they are inside, so all of them are looked at: it is done seldom.
    """
    theirs = [
        one.pk
        for one in Session.objects.iterator()
        if one.get_decoded().get(SESSION_KEY) == str(person.pk)
    ]
    return Session.objects.filter(pk__in=theirs).delete()[0]


def _person_of(request: HttpRequest) -> Person | AnonymousUser:
    person = get_user(request)
    if not isinstance(person, Person):
        return AnonymousUser()
    codes = request.session.get(_CODE_CLUBS)
    person.code_clubs = frozenset(codes or ())
    person.device_clubs = clubs_known(request, person) if codes else frozenset()
    if request.session[BACKEND_SESSION_KEY] == BY_CODE:
        if codes is None:
            # Opened before sessions knew their clubs: it may be anybody's with a code.
            return AnonymousUser()
        person.opened_clubs = person.code_clubs
    return person
