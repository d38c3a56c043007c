"""What may stand in a log: no address that lets somebody in. Standard library alone."""

from __future__ import annotations

import logging
import re

LETS_IN = re.compile(r"(/|%2f)(join|start|calendar|posts)(?:/|%2f)[^/\s?&#\"'<>]+", re.IGNORECASE)
"""Links of invitations and of the first owner work for whoever reads them, and so do feeds."""


def without_tokens(text: str) -> str:
    """The text with such addresses cut short.

    >>> without_tokens("Bad Request: /join/kX3v9/")
    'Bad Request: /join/…/'
    """
    return LETS_IN.sub(r"\1\2/…", text)


class LineWithoutTokens(logging.Formatter):
    """Cuts such addresses short in all of a line, its traceback included, whoever writes it."""

    def format(self, record: logging.LogRecord) -> str:
        return without_tokens(super().format(record))
