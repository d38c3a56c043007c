"""Who gets to a page: signed in, of the club, a coach. What is not theirs is not there (404)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import wraps
from typing import Any, cast
from urllib.parse import urlencode

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from training.models import Membership, Person
from training.policies import consent_was_withdrawn, waits_for_consent, waits_to_be_let_in
from training.rights import may_coach, may_own
from training.selectors import clubs
from training.visibility import Sealed
from training.web.base.standing_in import (
    ErrorShown,
    archived_page,
    consent_page,
    error_page,
    newcomer_page,
)

View = Callable[..., HttpResponse]
"""A view of a club's page: takes the request, the viewer's membership, the address's parts."""


class PageRequest(HttpRequest):
    """A request to a page of a club; ``viewer`` is put there by :func:`member`."""

    viewer: Membership


def person_of(request: HttpRequest) -> Person | None:
    """Who is signed in, or None."""
    return request.user if request.user.is_authenticated else None


def signed_in(view: View) -> View:
    """Send somebody signed out to sign in and back here; first let a new phrase be chosen."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        person = person_of(request)
        if person is None:
            return to_sign_in(request) if request.method != "POST" else _signed_out(request)
        if person.must_choose_phrase and request.path != reverse("phrase"):
            return HttpResponseRedirect(reverse("phrase"))
        return view(request, *args, **kwargs)

    return guarded


def to_sign_in(request: HttpRequest) -> HttpResponse:
    """The sign-in page, which leads back to where the person wanted to go."""
    return HttpResponseRedirect(_sign_in_and_back(request))


def _sign_in_and_back(request: HttpRequest) -> str:
    return f"{reverse('sign_in')}?{urlencode({'next': request.get_full_path()})}"


def _signed_out(request: HttpRequest) -> HttpResponse:
    """For a form sent after the session ended: what was typed is shown, not lost."""
    shown = ErrorShown(
        _("You are signed out"),
        _("You were signed out in the meantime, so nothing was stored."),
        _("Sign in again: you come back to the same page."),
        kept=request.POST.get("plan", "") or request.POST.get("written", ""),
        sign_in_href=_sign_in_and_back(request),
    )
    return error_page(request, shown, 401)


def nothing_stays_here(response: HttpResponse) -> HttpResponse:
    """What was typed and not handed in stays on no tablet that others use.

    The page's script clears it too, where the connection is not one that browsers take this from.
    """
    response["Clear-Site-Data"] = '"storage"'
    return response


def member(view: View) -> View:
    """A page of a club: for its open accounts alone. The view gets the viewer's membership."""

    @wraps(view)
    @signed_in
    def guarded(request: HttpRequest, slug: str, *args: Any, **kwargs: Any) -> HttpResponse:
        person = cast(Person, request.user)
        viewer = clubs.open_membership(person, slug)
        if viewer is None:
            return _closed_or_absent(request, person, slug)
        cast(PageRequest, request).viewer = viewer
        try:
            return view(request, viewer, *args, **kwargs)
        except Sealed:
            raise Http404 from None

    return guarded


def coach(view: View) -> View:
    """A page for the coaches of a club."""

    @wraps(view)
    def guarded(
        request: HttpRequest, viewer: Membership, *args: Any, **kwargs: Any
    ) -> HttpResponse:
        if not may_coach(viewer):
            raise PermissionDenied(_("Only a coach of the club may open this page."))
        return view(request, viewer, *args, **kwargs)

    return member(guarded)


def owner(view: View) -> View:
    """A page for the owners of a club."""

    @wraps(view)
    def guarded(
        request: HttpRequest, viewer: Membership, *args: Any, **kwargs: Any
    ) -> HttpResponse:
        if not may_own(viewer):
            raise PermissionDenied(_("Only an owner of the club may open this page."))
        return view(request, viewer, *args, **kwargs)

    return member(guarded)


def right_now() -> datetime:
    """The instant at which a request is answered. One name, so that tests can set it."""
    return timezone.now()


def _closed_or_absent(request: HttpRequest, person: Person, slug: str) -> HttpResponse:
    """Why the account is not open, to its own person alone; to all others nothing is here."""
    found = clubs.membership_of(person, slug)
    if found is None:
        raise Http404
    if waits_for_consent(found):
        withdrawn = consent_was_withdrawn(found)
        return consent_page(request, found.club, withdrawn=withdrawn, status=403)
    if waits_to_be_let_in(found):
        return newcomer_page(request, found.club, status=403)
    return archived_page(request, found)
