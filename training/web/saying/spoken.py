"""Moves as they are read aloud: a prime by its direction, a half turn as twice."""

from __future__ import annotations

from django.utils.translation import gettext as _


def say_token(token: str) -> str:
    """Say one written move.

    >>> say_token("R"), say_token("R'"), say_token("Rw2")
    ('R', 'R counter-clockwise', 'Rw twice')
    """
    if token.endswith("'"):
        return _("{letter} counter-clockwise").format(letter=token[:-1])
    if token.endswith("2"):
        return _("{letter} twice").format(letter=token[:-1])
    return token
