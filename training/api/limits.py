"""How much of a limit is left, in every answer of the API that is counted.

The header fields RateLimit-Policy and RateLimit of the IETF's draft
draft-ietf-httpapi-ratelimit-headers (in the form that it has had since its 8th version): a
policy has a quota ``q`` in a window of ``w`` seconds; of each ``r`` is left, until some of it
comes back after ``t`` seconds. A draft may change, so nothing depends on them: what is refused
says Retry-After (RFC 9110, section 10.2.3) as ever.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from django.http import HttpRequest, HttpResponse


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit after it was asked about: ``quota`` in ``window`` seconds, ``left`` of it."""

    name: str
    quota: int
    window: int
    left: int
    resets: int

    @property
    def policy(self) -> str:
        return f'"{self.name}";q={self.quota};w={self.window}'

    @property
    def state(self) -> str:
        return f'"{self.name}";r={self.left};t={self.resets}'


def limit_of(name: str, quota: int, window: float, asked_at: list[float], now: float) -> Limit:
    """A limit from the times at which it was asked for, the newest first.

    >>> limit_of("person", 240, 60, [100.0, 70.0], 100.0).state
    '"person";r=238;t=30'
    """
    resets = ceil(asked_at[-1] + window - now) if asked_at else 0
    return Limit(name, quota, ceil(window), max(0, quota - len(asked_at)), max(0, resets))


class RateLimits:
    """Middleware: writes what the throttles noted with the request into the answer."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self._get_response(request)
        limits: list[Limit] = getattr(request, "rate_limits", [])
        if limits:
            response["RateLimit-Policy"] = ", ".join(one.policy for one in limits)
            response["RateLimit"] = ", ".join(one.state for one in limits)
        return response
