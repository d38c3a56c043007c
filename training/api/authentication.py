"""Tokens of programs."""

from __future__ import annotations

from typing import Any

from knox.auth import TokenAuthentication
from rest_framework import exceptions


class BearerToken(TokenAuthentication):  # type: ignore[misc]
    """``Authorization: Bearer …``. Only a hash of a token is stored."""

    def authenticate_credentials(self, token: bytes) -> tuple[Any, Any]:
        """As the library does, but a token that is no text is a wrong token, not a crash."""
        try:
            token.decode("ascii")
        except UnicodeDecodeError:
            raise exceptions.AuthenticationFailed("Invalid token.") from None
        pair: tuple[Any, Any] = super().authenticate_credentials(token)
        return pair
