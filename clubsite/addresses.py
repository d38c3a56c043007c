"""The address a request came from, behind a known number of proxies."""

from django.conf import settings
from django.http import HttpRequest


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
