"""What a text may hold at all. Pure."""

from __future__ import annotations

import re

_NEVER_STORED = re.compile("[\0\ud800-\udfff]")


def first_unstorable(text: str) -> int | None:
    """The place, from 0, of the first character that no database keeps; None without one.

    That is the character 0, and half a character, which JSON can spell.

    >>> first_unstorable("Zoë"), first_unstorable("Zo" + chr(0)), first_unstorable(chr(0xD83D))
    (None, 2, 0)
    """
    found = _NEVER_STORED.search(text)
    return found.start() if found else None
