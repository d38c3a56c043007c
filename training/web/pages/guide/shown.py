"""A guide laid out: sections with an anchor each, so that any word leads to its meaning."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class GuideLine:
    """A thing with its name: what it is, an example, where it is on the site.

    ``anchor``: of an idea; ``page``: the name of an address of the club, for whom that is open.
    Both may be empty, and so may ``example``.
    """

    name: str
    meaning: str
    example: str = ""
    anchor: str = ""
    page: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with paragraphs, then steps one after the other, then things with names."""

    anchor: str
    title: str
    says: tuple[str, ...]
    steps: tuple[str, ...] = ()
    told: tuple[GuideLine, ...] = ()
    quote: str = ""


@dataclass(frozen=True, slots=True)
class GuideShown:
    """What ``pages/guide/guide.html`` needs. ``here``: the name of this guide's address.

    ``opens_pages``: the reader may open the club's pages that are named.
    """

    here: str
    title: str
    lede: str
    sections: tuple[Section, ...]
    opens_pages: bool = False
