"""What every answer passes through: its size, the reader's language, and who may keep a page."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware
from django.urls import Resolver404, resolve
from django.utils import translation

from training.selectors.clubs import language_for

Answer = Callable[[HttpRequest], HttpResponse]

WHOLE = (200, 400, 403, 404, 409, 410, 422, 429, 500)
"""Answers with a body of their own; 204 and 304 have none, and 206 has a part of one."""

TEXTS = (
    "application/atom+xml",
    "application/json",
    "application/manifest+json",
    "application/problem+json",
    "application/vnd.oai.openapi",
    "application/vnd.oai.openapi+json",
    "image/svg+xml",
)
"""What gets smaller beside ``text/…``; archives and PNG pictures do not."""


class Compressed(GZipMiddleware):
    """Send text compressed to whoever takes it so.

    Django's own adds a random number of bytes, so that the size of a page does not betray what
    stands in it (the attack is called BREACH; the tokens of forms are masked besides).
    """

    def process_response(
        self, request: HttpRequest, response: HttpResponseBase
    ) -> HttpResponseBase:
        kind = response.get("Content-Type", "").partition(";")[0].strip()
        is_text = kind.startswith("text/") or kind in TEXTS
        if request.method == "HEAD" or response.status_code not in WHOLE or not is_text:
            return response
        return super().process_response(request, response)


class ReadersLanguage:
    """Speak what the person chose, else what the club of the page speaks.

    Stands after Django's middleware for the browser's language, which holds for whoever is
    signed out, and after the one that knows who is signed in. Where there is one language
    only it asks nothing.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        spoken = dict(settings.LANGUAGES)
        if len(spoken) > 1:
            wanted = self._wanted(request)
            if wanted in spoken:
                translation.activate(wanted)
                request.LANGUAGE_CODE = wanted
        return self.get_response(request)

    @staticmethod
    def _wanted(request: HttpRequest) -> str:
        """The language's code; empty for somebody signed out or of no club."""
        try:
            if not request.user.is_authenticated:
                return ""
            return language_for(request.user, _club_of(request))
        except DatabaseError:
            # The page says better than a middleware what does not answer.
            return ""


def _club_of(request: HttpRequest) -> str:
    """The slug in a page's address, which is not resolved yet when a middleware is asked."""
    try:
        return str(resolve(request.path_info).kwargs.get("slug", ""))
    except Resolver404:
        return ""


class PrivatePages:
    """Keep pages out of every shared cache, and off the disk.

    What one member may see another may not yet: an answer kept by a cache
    could be handed to the wrong person.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.setdefault("Cache-Control", "private, no-store")
        return response
