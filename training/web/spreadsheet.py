"""Downloads for a spreadsheet, in the style that is asked for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse

from training.sheets import COMMAS, POINTS, Style, Value, write_csv

ASKED = {"points": POINTS, "commas": COMMAS}
"""What an address asks for by ``csv``: decimal points, or decimal commas and semicolons."""


def style_asked(request: HttpRequest) -> Style:
    """The style that a query or a form names; with points where it names none."""
    sent = request.POST if request.method == "POST" else request.GET
    return ASKED.get(sent.get("csv", ""), POINTS)


def with_commas(href: str) -> str:
    """The same download with semicolons and decimal commas.

    >>> with_commas("/review.csv?weeks=8"), with_commas("/review.csv")
    ('/review.csv?weeks=8&csv=commas', '/review.csv?csv=commas')
    """
    return f"{href}{'&' if '?' in href else '?'}{urlencode({'csv': 'commas'})}"


def csv_response(
    name: str, head: Sequence[str], rows: Iterable[Sequence[Value]], style: Style = POINTS
) -> HttpResponse:
    """A download called ``name``."""
    response = HttpResponse(
        write_csv(head, rows, style), content_type="text/csv; charset=utf-8; header=present"
    )
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
