"""Moves as they are read aloud: a prime by its direction, a half turn as twice."""

from __future__ import annotations

import re

from django.utils.translation import gettext as _

_MOVE = re.compile(r"[A-Za-z]w?[2']?")


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


def say_line(moves: str) -> str:
    """Say a line of written moves, each after a comma. Other words are left as they are.

    >>> say_line("R U2 F'"), say_line("no plan")
    ('R, U twice, F counter-clockwise', 'no plan')
    """
    if not all(_MOVE.fullmatch(token) for token in moves.split()):
        return moves
    return ", ".join(say_token(token) for token in moves.split())
