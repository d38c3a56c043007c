"""Fills in every form of every page with whatever comes, and asks pages for whatever comes.

The fields are read off the pages themselves, so a new one is filled in without being told. Seeded,
so that what breaks something comes again.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from random import Random
from typing import Any

from django.test import Client

VALUES = (
    *("", " ", "0", "-1", "1", "7", "99999999999999999999", "1e9", "NaN", "true", "null", "on"),
    *("2026-11-25", "0001-01-01", "9999-12-31", "2026-02-30", "25:61", "18:00", "00:00"),
    *("Europe/Oslo", "Nowhere/At-all", "member", "owner", "coach", "yellow", "club", "homework"),
    *("R U R'", "(R", "D' R'", "r u", "x" * 41, "y" * 201, "R " * 900, "no_plan", "solved"),
    *(
        "\x00",
        "a\x00b",
        "\ud800",
        "\u202e",
        "\u200b",
        "ｆｕｌｌ",
        "'\"<b>&amp;",
        "%s %(a)s {x}",
        "../",
    ),
    *("00000000-0000-0000-0000-000000000000", "not-a-uuid", "=1+1", "\r\nX: y", "é" * 30),
)
QUERIES = ("step", "way", "weeks", "sort", "drawn", "kind", "group", "names", "next", "page", "q")
LEFT_OUT = {"sign_out", "health"}
"""Who signs out sees little afterwards; and of a site without a worker `/health/` says 503."""


class Visitor:
    """Asks as one person; counts the answers and keeps what was a fault of the site."""

    def __init__(self, client: Client, random: Random) -> None:
        self.renew(client)
        self._random = random
        self.statuses: Counter[int] = Counter()
        self.faults: list[str] = []

    def renew(self, client: Client) -> None:
        """Go on with another browser."""
        client.raise_request_exception = False
        self._client = client

    def visit(self, path: str) -> None:
        """Ask for a page once in a strange way, and send its forms once."""
        query = {self._pick(QUERIES): self._value() for _ in range(self._random.randint(0, 3))}
        self._note("GET", path, query, lambda: self._client.get(path, query))
        page = self._client.get(path)
        names = _fields(page.content.decode(errors="replace"))
        sent = self._filled(names)
        self._note("POST", path, sent, lambda: self._client.post(path, sent))

    def _filled(self, names: Mapping[str, Sequence[str]]) -> dict[str, Any]:
        sent: dict[str, Any] = {}
        for name, offered in names.items():
            if self._random.random() < 0.85:
                takes_offered = offered and self._random.random() < 0.6
                value = self._pick(offered) if takes_offered else self._value()
                sent[name] = [value, self._value()] if self._random.random() < 0.1 else value
        if self._random.random() < 0.1:
            sent[self._value() or "x"] = self._value()
        return sent

    def _note(self, method: str, path: str, sent: object, ask: Callable[[], Any]) -> None:
        status = ask().status_code
        self.statuses[status] += 1
        if status >= 500:
            self.faults.append(f"{method} {path} {sent!r}: {status}")

    def _pick(self, values: Sequence[str]) -> str:
        return self._random.choice(values)

    def _value(self) -> str:
        if self._random.random() < 0.2:
            number = self._random.randint(0, 40)
            return "".join(chr(self._random.randint(1, 0x2FF)) for _ in range(number))
        # Half a character cannot be sent in a form at all, only in JSON.
        return self._pick(VALUES).replace("\ud800", "?")


def _fields(page: str) -> dict[str, list[str]]:
    """Names of what can be filled in on a page, with the values that it offers."""
    found: dict[str, list[str]] = {}
    for tag in re.findall(r"<(?:input|select|textarea|button)[^>]*>", page):
        name, value = (re.search(rf'\b{key}="([^"]*)"', tag) for key in ("name", "value"))
        if name:
            found.setdefault(name[1], []).extend([value[1]] if value else [])
    found.pop("csrfmiddlewaretoken", None)
    return found
