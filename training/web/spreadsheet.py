"""Tables for a spreadsheet: RFC 4180, and no cell that a spreadsheet would run as a formula.

UTF-8 with a byte order mark: without it, the spreadsheet on most coaches'
computers reads names as another alphabet; readers of CSV skip it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from django.http import HttpResponse

BOM = "\ufeff"
_BEGINNINGS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")

Value = str | int | float | None


def guarded(value: Value) -> Value:
    """A value as it is written: text that begins like a formula is kept from being one.

    Blanks before it do not hide it. Numbers stay numbers, minus sign and all.

    >>> guarded("=1+1"), guarded("  @sum"), guarded(-0.5), guarded("R' U")
    ("'=1+1", "'  @sum", -0.5, "R' U")
    """
    if not isinstance(value, str):
        return value
    bare = value.lstrip(" \u00a0\u3000\ufeff")
    return f"'{value}" if bare.startswith(_BEGINNINGS) else value


def write_csv(head: Sequence[str], rows: Iterable[Sequence[Value]]) -> str:
    """The text of the file: a head line and rows of as many fields, lines ended by CR LF.

    Raises ValueError for a row of another length.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        if len(row) != len(head):
            raise ValueError(f"{len(row)} fields under a head of {len(head)}")
        writer.writerow([guarded(value) for value in row])
    return BOM + out.getvalue()


def csv_response(name: str, head: Sequence[str], rows: Iterable[Sequence[Value]]) -> HttpResponse:
    """A download called ``name``."""
    response = HttpResponse(
        write_csv(head, rows), content_type="text/csv; charset=utf-8; header=present"
    )
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
