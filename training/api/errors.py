"""Errors as RFC 9457 problem details, each in a sentence of our own."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import TYPE_CHECKING, Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404, HttpRequest, JsonResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.csrf import csrf_exempt
from rest_framework import exceptions
from rest_framework.settings import api_settings
from rest_framework.views import set_rollback

from training.api.problems import MEDIA_TYPE, TYPES
from training.models import Plan
from training.refusals import Refusal, ScopeMissing
from training.visibility import Sealed

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

Context = dict[str, Any]

ABSENT = gettext_lazy("Nothing is here, or it is not open yet.")
"""One sentence for what is sealed, of another club, or not there: they must look the same."""


def problem_details(error: Exception, context: Context) -> JsonResponse | None:
    """DRF's exception handler. None for what is a fault of ours: Django then answers 500.

    Always JSON, also from the view whose own answers are a page.
    """
    body = _body(error, context)
    if body is None:
        return None
    set_rollback()
    return JsonResponse(
        body,
        status=body["status"],
        content_type=MEDIA_TYPE,
        headers=_headers(error, body["status"]),
    )


def _body(error: Exception, context: Context) -> dict[str, Any] | None:
    if isinstance(error, Refusal):
        return refusal_body(error)
    if isinstance(error, Sealed | Http404 | exceptions.NotFound):
        return TYPES["not_found"].body(ABSENT)
    if isinstance(error, RequestDataTooBig):
        return TYPES["too_big"].body(
            _("The request is larger than any plan can be. Send only the moves.")
        )
    if isinstance(error, exceptions.ValidationError):
        return _of_entries(error)
    if isinstance(error, exceptions.APIException) and error.default_code in _SENTENCES:
        detail = _SENTENCES[error.default_code](error, context)
        return TYPES[error.default_code].body(detail)
    if isinstance(error, PermissionDenied):
        return TYPES["not_allowed"].body(
            _("This is not open to you. A coach of the club can help.")
        )
    return None


def _headers(error: Exception, status: int) -> dict[str, str]:
    # Whoever answers 401 says how to sign in (RFC 9110, section 15.5.2).
    headers = {"WWW-Authenticate": "Bearer"} if status == 401 else {}
    if isinstance(error, ScopeMissing):
        # RFC 6750, section 3.1: a token that does not reach so far.
        scope = error.extras["scope"]
        headers["WWW-Authenticate"] = f'Bearer error="insufficient_scope", scope="{scope}"'
    if isinstance(error, exceptions.Throttled):
        headers["Retry-After"] = str(_wait(error))
    return headers


# What is said of the errors of Django REST framework ----------------------
def _own_words(error: Any, context: Context) -> StrOrPromise:
    """For errors that our own classes raise: they bring their sentence along."""
    return str(error.detail)


def _not_authenticated(error: Any, context: Context) -> StrOrPromise:
    return _(
        "Nobody is signed in. Send the header Authorization: Bearer and a token, which name and "
        "pass phrase give you at /api/v1/tokens/."
    )


def _no_csrf_token(error: Any, context: Context) -> StrOrPromise:
    return _(
        "This came with a browser’s session but not from a page of this site, so nothing was "
        "done. Send a token instead: Authorization: Bearer and a token from /api/v1/tokens/."
    )


def _wrong_method(error: Any, context: Context) -> StrOrPromise:
    *others, last = context["view"].allowed_methods
    return _("This address does not take {method}. It takes {others} and {last}.").format(
        method=context["request"].method, others=", ".join(others), last=last
    )


def _other_answer(error: Any, context: Context) -> StrOrPromise:
    return _(
        "This address answers with {media_type} alone. Leave the header Accept out, or let it "
        "name that."
    ).format(media_type=", ".join(one.media_type for one in context["view"].renderer_classes))


def _other_media_type(error: Any, context: Context) -> StrOrPromise:
    return _(
        "What was sent is named {media_type}, and only JSON is read here. Send JSON, with the "
        "header Content-Type: application/json."
    ).format(media_type=context["request"].content_type or "…")


def _too_often(error: exceptions.Throttled, context: Context) -> StrOrPromise:
    wait = _wait(error)
    return ngettext(
        "Too many requests. Try again in {seconds} second.",
        "Too many requests. Try again in {seconds} seconds.",
        wait,
    ).format(seconds=wait)


def _wait(error: Any) -> int:
    return max(1, ceil(getattr(error, "wait", None) or 1))


_SENTENCES = {
    "authentication_failed": _own_words,
    "not_authenticated": _not_authenticated,
    "permission_denied": _no_csrf_token,
    "method_not_allowed": _wrong_method,
    "not_acceptable": _other_answer,
    "unsupported_media_type": _other_media_type,
    "parse_error": _own_words,
    "throttled": _too_often,
}


# What is said of entries --------------------------------------------------
def _of_entries(error: exceptions.ValidationError) -> dict[str, Any]:
    """All that is wrong with what was sent: in a sentence, and entry by entry under ``errors``."""
    found = error.get_full_details()
    said = " ".join(
        _("{entry}: {sentence}").format(entry=entry, sentence=sentence)
        for entry, sentence in _said_of(found)
    )
    return TYPES["invalid_entry"].body(
        _("What was sent cannot be used. {said}").format(said=said), errors=found
    )


def _said_of(found: Any, entry: str = "") -> Iterator[tuple[str, str]]:
    """Each entry with each sentence about it."""
    if isinstance(found, dict) and set(found) != {"message", "code"}:
        for name, below in found.items():
            whole = name == api_settings.NON_FIELD_ERRORS_KEY
            yield from _said_of(below, entry if whole else str(name))
    elif isinstance(found, list):
        for one in found:
            yield from _said_of(one, entry)
    else:
        yield entry or _("The whole"), str(found["message"])


def refusal_body(refusal: Refusal) -> dict[str, Any]:
    """A service's refusal; a plan among its extras is shown as text."""
    more: dict[str, Any] = {}
    for name, value in refusal.extras.items():
        if isinstance(value, Plan):
            more["plan"] = value.canonical
            more["no_plan"] = value.kind == "no_plan"
        else:
            more[name] = value
    if refusal.field:
        more["field"] = refusal.field
    return TYPES[refusal.code].body(refusal.message, **more)


# Answers outside of views -------------------------------------------------
def _answer(code: str, detail: StrOrPromise) -> JsonResponse:
    body = TYPES[code].body(detail)
    return JsonResponse(body, status=body["status"], content_type=MEDIA_TYPE)


def bad_request(request: HttpRequest) -> JsonResponse:
    """The answer to a request that Django itself does not take, such as one to a foreign host."""
    return _answer(
        "bad_request",
        _(
            "This request cannot be read as one to this site. Check the address, its host and the "
            "headers."
        ),
    )


def server_error(request: HttpRequest) -> JsonResponse:
    """The answer when something broke on our side."""
    return _answer(
        "server_error",
        _(
            "Something broke here and was noted. Try again in a minute: the same plan with the "
            "same key is never stored twice."
        ),
    )


@csrf_exempt
def not_found(request: HttpRequest) -> JsonResponse:
    """The answer to an address below ``/api/`` that leads nowhere."""
    return _answer("not_found", ABSENT)
