"""An address that somebody copies down from paper or a small screen."""

from __future__ import annotations

import re

from django.utils.html import format_html_join
from django.utils.safestring import SafeString, mark_safe

_BREAKS = re.compile(r"(?<=/)(?=[^/])|(?<=[^/.])(?=[.])")


def breakable(address: str) -> SafeString:
    """An address that a line may end in only before a dot and after a slash.

    >>> breakable("http://club.example.org/code/")
    'http://<wbr>club<wbr>.example<wbr>.org/<wbr>code/'
    """
    return format_html_join(mark_safe("<wbr>"), "{}", ((one,) for one in _BREAKS.split(address)))
