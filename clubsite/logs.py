"""What may stand in a log: no address that lets somebody in."""

from __future__ import annotations

import logging
import re

LETS_IN = re.compile(r"/(join|start)/[^/\s?\"']+")
"""Links of invitations and of the first owner work for whoever reads them."""


def without_tokens(text: str) -> str:
    """The text with such addresses cut short.

    >>> without_tokens("Bad Request: /join/kX3v9/")
    'Bad Request: /join/…/'
    """
    return LETS_IN.sub(r"/\1/…", text)


class WithoutTokens(logging.Filter):
    """Cuts such addresses short in every line, whoever writes it."""

    def filter(self, record: logging.LogRecord) -> bool:
        text = record.getMessage()
        short = without_tokens(text)
        if short != text:
            record.msg, record.args = short, None
        return True
