"""What a terminal can show: plain letters where it knows no others, no colours where unwanted.

Standard library alone.
"""

from __future__ import annotations

import codecs
import os
import sys
import unicodedata

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TextIO

_IN_PLAIN = {"…": "...", "×": "x", "·": "-", "–": "-", "—": "-", "≤": "<=", "≥": ">="}
_IN_PLAIN |= {"’": "'", "‘": "'", "“": '"', "”": '"', "→": "->", "−": "-"}


def be_plain() -> None:
    """Have both outputs write what their encoding lacks in letters that it has."""
    codecs.register_error("in_plain", _in_plain)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure") and not shows(stream, "…▄"):
            stream.reconfigure(errors="in_plain")


def shows(stream: TextIO, text: str) -> bool:
    """Whether a stream has all letters of ``text``."""
    try:
        text.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def colours(stream: TextIO) -> bool:
    """Whether colours are wanted there: a terminal, and ``NO_COLOR`` (no-color.org) unset."""
    return stream.isatty() and not os.environ.get("NO_COLOR")


def in_plain(text: str) -> str:
    """The text in ASCII.

    >>> in_plain("Packages … 3 × José")
    'Packages ... 3 x Jose'
    """
    return "".join(_letter(letter) for letter in text)


def _letter(letter: str) -> str:
    if letter.isascii():
        return letter
    apart = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode()
    return _IN_PLAIN.get(letter) or apart or "?"


def _in_plain(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    return in_plain(error.object[error.start : error.end]), error.end
