"""A made-up tongue that speaks in capitals, to find what is not marked for translation."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from zoneinfo import available_timezones

import pytest
from django.utils import translation

_KEPT = re.compile(r"(%(?:\(\w+\))?[a-z]|%%|\{\w+\}|<[^>]+>|&\w+;|`[^`]*`)")
"""What a translator leaves as it is: places to fill in, tags, entities, moves in backticks."""


def shout(text: str) -> str:
    """Say a message in the made-up tongue.

    >>> shout("{count} crosses, <b>%(name)s</b>")
    '{count} CROSSES, <b>%(name)s</b>'
    """
    return "".join(
        part if number % 2 else part.upper() for number, part in enumerate(_KEPT.split(text))
    )


def speak_in_capitals(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let everything that passes gettext come back in capitals, until the test ends."""
    translation.gettext("")  # Django chooses its real functions at the first call
    real = translation._trans  # type: ignore[attr-defined]
    monkeypatch.setattr(real, "gettext", shout)
    monkeypatch.setattr(
        real, "ngettext", lambda one, many, number: shout(one if number == 1 else many)
    )
    monkeypatch.setattr(real, "pgettext", lambda _, text: shout(text))
    monkeypatch.setattr(
        real, "npgettext", lambda _, one, many, number: shout(one if number == 1 else many)
    )


SPOKEN = ("title", "aria-label", "alt", "placeholder", "data-said", "label")
"""Attributes that a person reads or hears."""

_NOT_WORDS = {"moves", "code", "stair-token", "sheet", "tiles"}
"""Classes of what is notation or a code, the same in every tongue."""

_VOID = {"meta", "link", "input", "br", "hr", "img"}


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[tuple[str, bool]] = []
        self.found: list[str] = []

    @property
    def silent(self) -> bool:
        return any(quiet for _, quiet in self.open)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        classes = set(values.get("class", "").split())
        letter = any(name.startswith("letter-") for name in classes)
        quiet = tag in {"script", "style", "textarea"} or bool(classes & _NOT_WORDS) or letter
        if not self.silent:
            self.found += [values[name] for name in SPOKEN if name in values]
            if tag == "input" and values.get("type") in {"submit", "button"}:
                self.found.append(values.get("value", ""))
        if tag not in _VOID:
            self.open.append((tag, quiet))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if not self.silent and data.strip():
            self.found.append(" ".join(data.split()))


_ADDRESS = re.compile(r"https?://\S+|\b(?=[a-f]*\d)[0-9a-f]{12}\b")
"""Of a page, or of a commit: neither is a word, whatever letters it has."""

_ZONES = {
    said.replace("_", " ")
    for name in available_timezones()
    for region, _slash, place in [name.partition("/")]
    for said in (name, region, place)
}
"""The names of zones, of their regions and of their places in them."""
_WORD = re.compile(r"[^\W\d_]*[a-zà-öø-ÿ]{2,}[^\W\d_]*")


def left_over(page: str, allowed: frozenset[str] = frozenset()) -> list[str]:
    """Texts of a page with words that are not in capitals, but for the words ``allowed``.

    >>> left_over("<p>TODAY</p><p>closes <b class='moves'>x2 yw</b></p>")
    ['closes']
    """
    reader = _Words()
    reader.feed(page.replace("<wbr>", ""))  # Where a line may end inside an address.
    return [
        text
        for text in reader.found
        if text not in _ZONES
        and any(word not in allowed for word in _WORD.findall(_ADDRESS.sub("", text)))
    ]
