"""Every address of the site, walked from its resolver, with every thing that it can be about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.access.world import ABSENT, World


@dataclass(frozen=True)
class Address:
    """One address: its name, what it is about, and where its absent twin is.

    ``outside``: the twin for those who do not belong to the club, for whom the club itself must
    look absent.
    """

    name: str
    line: str
    is_program: bool
    methods: frozenset[str]
    path: str
    absent: str
    outside: str


def named(resolver: URLResolver | None = None, space: str = "") -> Iterator[tuple[str, URLPattern]]:
    """All addresses that have a name."""
    for one in (resolver or get_resolver()).url_patterns:
        if isinstance(one, URLResolver):
            yield from named(one, f"{one.namespace}:" if one.namespace else space)
        elif isinstance(one, URLPattern) and one.name:
            yield f"{space}{one.name}", one


def methods_of(pattern: URLPattern) -> frozenset[str]:
    """Reading and sending everywhere, and what else a view of the API takes."""
    view = getattr(pattern.callback, "cls", None)
    more = {one for one in ("PUT", "PATCH", "DELETE") if hasattr(view, one.lower())}
    return frozenset({"GET", "POST", *more})


def unnamed(resolver: URLResolver | None = None) -> Iterator[str]:
    """What could not be walked, because it has no name."""
    for one in (resolver or get_resolver()).url_patterns:
        if isinstance(one, URLResolver):
            yield from unnamed(one)
        elif not one.name:
            yield str(one.pattern)


def addresses(world: World) -> Iterator[Address]:
    """Every name with every combination of the world's things.

    Raises KeyError for an argument of which the world has nothing yet.
    """
    for name, pattern in named():
        arguments = tuple(pattern.pattern.converters)
        choices = [world.things.get(f"{name}.{one}") or world.things[one] for one in arguments]
        for chosen in product(*(one.items() for one in choices)):
            about = " ".join(word for word, _ in chosen if word)
            values = dict(zip(arguments, (value for _, value in chosen), strict=True))
            absent = {
                key: ABSENT if key.endswith("_id") else value for key, value in values.items()
            }
            outside = {
                key: "no-such-club" if key == "slug" else value for key, value in values.items()
            }
            yield Address(
                name=name,
                line=f"{name.removeprefix('api:')} {about}".strip(),
                is_program=name.startswith("api:"),
                methods=methods_of(pattern),
                path=reverse(name, kwargs=values),
                absent=reverse(name, kwargs=absent),
                outside=reverse(name, kwargs=outside),
            )
