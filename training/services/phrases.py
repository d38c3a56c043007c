"""Pass phrases, one-time codes and links: made, compared, never stored as they are."""

from __future__ import annotations

import hashlib
import secrets
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

# Crockford's base 32 for people: no I, L, O, U, so that nothing is misread from a card.
CODE_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 12
_MISREAD = str.maketrans({"I": "1", "L": "1", "O": "0", "U": "V"})


def new_token() -> str:
    """A link's secret part: 256 random bits, safe in an address."""
    return secrets.token_urlsafe(32)


def new_code() -> str:
    """A code for a card: 60 random bits in groups of four, as ``7K3M-9QXT-2BRA``."""
    letters = "".join(secrets.choice(CODE_ALPHABET) for _ in range(CODE_LENGTH))
    return "-".join(letters[at : at + 4] for at in range(0, CODE_LENGTH, 4))


def plain_code(typed: str) -> str:
    """A code as typed, without blanks, hyphens and letters that look like digits.

    >>> plain_code(" 7k3m 9qxt-2bro")
    '7K3M9QXT2BR0'
    """
    return "".join(c for c in typed.upper() if c.isalnum()).translate(_MISREAD)


def digest(secret: str) -> str:
    """What is stored of a token or code. Fast on purpose: the secrets are random and long."""
    return hashlib.sha256(secret.encode()).hexdigest()


class NotTheSignInName:
    """A pass phrase must not hold the sign-in name."""

    message = _("The pass phrase must not contain your sign-in name.")

    def validate(self, password: str, user: Any = None) -> None:
        name = (getattr(user, "sign_in_name", "") or "").casefold()
        if len(name) >= 3 and name in password.casefold():
            raise ValidationError(self.message, code="contains_sign_in_name")

    def get_help_text(self) -> str:
        return str(self.message)
