"""Lists in pages: how many there are in all, and where the pages beside are.

Every list that is an object has ``count``, ``next`` and ``previous`` in it; a list that version 1
promised as a bare array stays one. Both say the same in the header Link (RFC 8288) with the
relations of its registry: first, prev, next, last; and how many there are in ``Total-Count``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from drf_spectacular.utils import OpenApiParameter
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from training.visibility import Sealed


@dataclass(frozen=True, slots=True)
class Page:
    """A part of a list: ``size`` of all ``count``, from ``start`` on.

    ``by``: the parameter that names a part: a number of it from 1 ("page"), or the first entry
    from 0 ("start").
    """

    request: Request
    start: int
    size: int
    count: int
    by: str = "page"

    def _address(self, start: int) -> str:
        asked = self.request.query_params.copy()
        asked[self.by] = str(start if self.by == "start" else start // self.size + 1)
        return self.request.build_absolute_uri(f"{self.request.path}?{asked.urlencode()}")

    @property
    def next(self) -> str | None:
        after = self.start + self.size
        return self._address(after) if after < self.count else None

    @property
    def previous(self) -> str | None:
        return self._address(max(0, self.start - self.size)) if self.start > 0 else None

    @property
    def headers(self) -> dict[str, str]:
        last = max(0, self.count - 1) // self.size * self.size
        links = {
            "first": self._address(0),
            "prev": self.previous,
            "next": self.next,
            "last": self._address(last),
        }
        said = [f'<{href}>; rel="{rel}"' for rel, href in links.items() if href is not None]
        return {"Link": ", ".join(said), "Total-Count": str(self.count)}

    def of_object(self, data: dict[str, Any]) -> Response:
        """An answer that is an object, with what stands beside."""
        beside = {"count": self.count, "next": self.next, "previous": self.previous}
        return Response({**data, **beside}, headers=self.headers)

    def of_array(self, data: Any) -> Response:
        """An answer that is an array, as version 1 promised it."""
        return Response(data, headers=self.headers)


def page_asked(request: Request, size: int) -> int:
    """Where the page that is asked for begins. Raises Sealed for none."""
    raw = request.query_params.get("page", "1")
    page = int(raw) if raw.isascii() and raw.isdigit() and 1 <= len(raw) <= 6 else 0
    if page < 1:
        raise Sealed
    return (page - 1) * size


class Paged(serializers.Serializer[Any]):
    """What every list that is an object has beside its entries."""

    count = serializers.IntegerField(help_text="How many there are in all.")
    next = serializers.CharField(allow_null=True, help_text="Address of the next page.")
    previous = serializers.CharField(allow_null=True, help_text="Address of the page before.")


LINKED = [
    OpenApiParameter(
        "Link",
        str,
        OpenApiParameter.HEADER,
        response=[200],
        description="RFC 8288: first, prev, next and last page.",
    ),
    OpenApiParameter(
        "Total-Count",
        int,
        OpenApiParameter.HEADER,
        response=[200],
        description="How many there are in all.",
    ),
]
"""For the document: the headers of a list."""

IN_PAGES = [
    OpenApiParameter("page", int, description="50 entries a page, counted from 1."),
    *LINKED,
]
"""For the document: the parameter and the headers of :func:`in_pages`."""

ENTRIES = 50


def in_pages(
    request: Request, found: Sequence[Any], shape: type[serializers.BaseSerializer[Any]]
) -> Response:
    """A page of a list that is at hand whole, as a bare array. Raises Sealed for no page."""
    start = page_asked(request, ENTRIES)
    page = Page(request, start, ENTRIES, len(found))
    return page.of_array(shape(found[start : start + ENTRIES], many=True).data)
