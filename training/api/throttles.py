"""How often a program may ask: by address before sign-in, by person after.

A whole club may sit behind one address, so the limit per address is generous
and the tight one counts by account.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rest_framework.request import Request
from rest_framework.throttling import (
    AnonRateThrottle,
    BaseThrottle,
    SimpleRateThrottle,
    UserRateThrottle,
)

from training.api.limits import limit_of
from training.names import tidy
from training.services.failures import client_address
from training.services.phrases import digest

if TYPE_CHECKING:
    # The framework's views read these classes from the settings while they are being loaded.
    from rest_framework.views import APIView


class ByOurAddress(BaseThrottle):
    """Takes the visitor's address as signing in does: one rule says whose it is.

    What is left is noted with the request, for :mod:`training.api.limits`.
    """

    def get_ident(self, request: Request) -> str:
        return client_address(request._request)

    def allow_request(self, request: Request, view: APIView) -> bool:
        allowed: bool = super().allow_request(request, view)
        noted: Any = self
        # Unset where nobody is counted: no rate, or somebody else's limit.
        if getattr(noted, "key", None) is not None and noted.rate is not None:
            limits = getattr(request._request, "rate_limits", [])
            limits.append(
                limit_of(noted.scope, noted.num_requests, noted.duration, noted.history, noted.now)
            )
            request._request.rate_limits = limits  # type: ignore[attr-defined]
        return allowed


class PerAddress(ByOurAddress, AnonRateThrottle):
    """Requests of nobody signed in."""

    scope = "address"


class PerPerson(ByOurAddress, UserRateThrottle):
    """Requests of one person."""

    scope = "person"


class SignIns(ByOurAddress, SimpleRateThrottle):
    """Attempts to sign in, by name and address: thirty members of a club may share the address."""

    scope = "sign-in"

    def get_cache_key(self, request: Request, view: APIView) -> str:
        sent = request.data.get("sign_in_name") if isinstance(request.data, dict) else ""
        name = tidy(sent).casefold() if isinstance(sent, str) else ""
        # Half a character is refused later, in words; here it only must not stop the count.
        name = name.encode(errors="replace").decode()
        # Hashed, because a cache key takes no blanks and no other alphabets.
        return f"throttle_sign_in_{self.get_ident(request)}_{digest(name)}"


class HandIns(ByOurAddress, UserRateThrottle):
    """Plans handed in by one person."""

    scope = "hand-in"
