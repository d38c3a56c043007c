"""Numbers with their nouns, in the English of the terminal."""

from __future__ import annotations


def counted(count: int, one: str, many: str = "") -> str:
    """A number and its noun.

    >>> counted(1, "set"), counted(12_000, "set"), counted(0, "summary", "summaries")
    ('1 set', '12,000 sets', '0 summaries')
    """
    return f"{count:,} {one if count == 1 else many or one + 's'}"
