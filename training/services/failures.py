"""What django-axes asks of us: whose failure, from where, and what to answer."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse


def client_address(request: HttpRequest) -> str:
    """The visitor's address.

    With ``NUM_PROXIES`` = 0 the connection's own; with n, the n-th from the
    right of X-Forwarded-For, because only those entries were written by
    proxies of ours: anything further left can be forged by the visitor.
    """
    direct: str = request.META.get("REMOTE_ADDR", "")
    if not settings.NUM_PROXIES:
        return direct
    hops = [hop.strip() for hop in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")]
    hops = [hop for hop in hops if hop]
    return hops[-min(settings.NUM_PROXIES, len(hops))] if hops else direct


def counted_name(request: HttpRequest, credentials: dict[str, Any] | None = None) -> str:
    """The name that failures are counted under: another case is not another name."""
    return str((credentials or {}).get("username") or "").strip().casefold()[:40]


def locked_out(
    request: HttpRequest, response: HttpResponse, credentials: dict[str, Any] | None = None
) -> HttpResponse:
    """Keep the view's own answer: it has already said what to do, in page or problem details."""
    return response
