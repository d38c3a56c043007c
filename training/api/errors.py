"""Errors as RFC 9457 problem details, in the words that the pages use."""

from __future__ import annotations

import logging
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import Http404, HttpRequest, JsonResponse
from django.views.decorators.csrf import csrf_exempt
from rest_framework import exceptions, status
from rest_framework.response import Response
from rest_framework.views import set_rollback

from training.models import Plan
from training.services.errors import Refusal
from training.visibility import Sealed

log = logging.getLogger(__name__)

CONTENT_TYPE = "application/problem+json"
TYPE_PREFIX = "/api/v1/problems/"

ABSENT = "Nothing is here, or it is not open yet."
"""One sentence for what is sealed, of another club, or not there: they must look the same."""


def problem(*, code: str, title: str, status_code: int, detail: str, **more: Any) -> dict[str, Any]:
    """The members of a problem details object (RFC 9457, section 3.1)."""
    return {
        "type": f"{TYPE_PREFIX}{code}",
        "title": title,
        "status": status_code,
        "detail": detail,
        **more,
    }


def problem_details(error: Exception, context: dict[str, Any]) -> Response | None:
    """DRF's exception handler. None for what is a fault of ours: Django then answers 500."""
    body, headers = _body(error, context)
    if body is None:
        return None
    set_rollback()
    response = Response(body, status=body["status"], headers=headers)
    response.content_type = CONTENT_TYPE
    return response


def _body(
    error: Exception, context: dict[str, Any]
) -> tuple[dict[str, Any] | None, dict[str, str]]:
    if isinstance(error, Refusal):
        return refusal_body(error), {}
    if isinstance(error, Sealed | Http404 | exceptions.NotFound):
        return _plain("not_found", "Not found", 404, ABSENT), {}
    if isinstance(error, RequestDataTooBig):
        return _too_big(), {}
    if isinstance(error, exceptions.ValidationError):
        return (
            problem(
                code="invalid_entry",
                title="Something to mend",
                status_code=400,
                detail="Some of what was sent cannot be used; see errors.",
                errors=error.get_full_details(),
            ),
            {},
        )
    if isinstance(error, exceptions.APIException):
        return _of_api(error)
    return None, {}


def _of_api(error: exceptions.APIException) -> tuple[dict[str, Any], dict[str, str]]:
    code = str(getattr(error, "default_code", "error"))
    headers: dict[str, str] = {}
    challenge = getattr(error, "auth_header", None)
    if challenge:
        headers["WWW-Authenticate"] = challenge
    detail = str(error.detail)
    if isinstance(error, exceptions.Throttled):
        wait = int(getattr(error, "wait", None) or 1)
        headers["Retry-After"] = str(wait)
        detail = f"Too many requests. Try again in {wait} seconds."
    title = {401: "Sign in first", 403: "Not allowed", 429: "Too many requests"}.get(
        error.status_code, "Not done"
    )
    return _plain(code, title, error.status_code, detail), headers


def refusal_body(refusal: Refusal) -> dict[str, Any]:
    """A service's refusal; a plan among its facts is shown as text."""
    more: dict[str, Any] = {}
    for name, value in refusal.facts.items():
        if isinstance(value, Plan):
            more["plan"] = value.canonical
            more["no_plan"] = value.kind == "no_plan"
        else:
            more[name] = value
    if refusal.field:
        more["field"] = refusal.field
    return problem(
        code=refusal.code,
        title=refusal.title,
        status_code=refusal.status,
        detail=refusal.message,
        **more,
    )


def _plain(code: str, title: str, status_code: int, detail: str) -> dict[str, Any]:
    return problem(code=code, title=title, status_code=status_code, detail=detail)


def _too_big() -> dict[str, Any]:
    return _plain(
        "too_big",
        "Too much at once",
        status.HTTP_413_REQUEST_ENTITY_TOO_LARGE,
        "The request is larger than any plan can be. Send only the moves.",
    )


def server_error(request: HttpRequest) -> JsonResponse:
    """The answer when something broke on our side."""
    body = _plain(
        "server_error",
        "A fault of ours",
        500,
        "Something broke here and was noted. Nothing you sent was changed; try again in a minute.",
    )
    return JsonResponse(body, status=500, content_type=CONTENT_TYPE)


@csrf_exempt
def not_found(request: HttpRequest) -> JsonResponse:
    """The answer to an address below ``/api/`` that leads nowhere."""
    body = _plain("not_found", "Not found", 404, ABSENT)
    return JsonResponse(body, status=404, content_type=CONTENT_TYPE)
