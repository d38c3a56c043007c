"""Tokens of programs."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from knox.auth import TokenAuthentication
from rest_framework.authentication import get_authorization_header
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from training.services.tokens import find_token


class BearerToken(TokenAuthentication):  # type: ignore[misc]
    """``Authorization: Bearer …``. Only a hash of a token is stored."""

    def authenticate(self, request: Request) -> tuple[Any, Any] | None:
        """As the library does; what it refuses is refused in our words."""
        try:
            pair: tuple[Any, Any] | None = super().authenticate(request)
        except AuthenticationFailed:
            raise AuthenticationFailed(_said_of(get_authorization_header(request))) from None
        return pair

    def authenticate_credentials(self, token: bytes) -> tuple[Any, Any]:
        """The person, who knows which clubs the token opens, and the token."""
        # A token that is no text is a wrong token, not a crash.
        found = find_token(token.decode()) if token.isascii() else None
        if found is None:
            raise AuthenticationFailed
        return found.user, found


def _said_of(header: bytes) -> str:
    if len(header.split()) != 2:
        return _(
            "The header Authorization has to hold two words: Bearer, then the token. Sign in at "
            "/api/v1/tokens/ for one."
        )
    return _(
        "This token opens nothing: it has run out, was ended or is misspelt. Sign in again at "
        "/api/v1/tokens/ for a new one."
    )
