"""Roughly which browser or program somebody comes with. Pure.

Only to tell one's own devices apart: a word of ours is kept, never what was sent.
"""

from __future__ import annotations

import re

# Each browser also names those that it wants to be taken for; so the order decides.
_BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser/", "Samsung Internet"),
    ("Firefox/", "Firefox"),
    ("FxiOS/", "Firefox"),
    ("Chrome/", "Chrome"),
    ("CriOS/", "Chrome"),
    ("Safari/", "Safari"),
)
_SYSTEMS = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("CrOS", "ChromeOS"),
    ("Mac OS X", "Mac"),
    ("Linux", "Linux"),
)
_PROGRAM = re.compile(r"([A-Za-z][A-Za-z0-9._-]{0,29})(/|\s|$)")


def known_as(user_agent: str) -> tuple[str, str]:
    """Browser or program, and system, as far as they can be told; empty where they cannot.

    >>> known_as("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0")
    ('Firefox', 'Linux')
    >>> known_as("curl/8.5.0"), known_as("")
    (('curl', ''), ('', ''))
    """
    system = next((name for mark, name in _SYSTEMS if mark in user_agent), "")
    browser = next((name for mark, name in _BROWSERS if mark in user_agent), "")
    if browser:
        return browser, system
    program = _PROGRAM.match(user_agent)
    return (program[1] if program and program[1] != "Mozilla" else ""), system
