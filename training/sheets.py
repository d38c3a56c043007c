"""Tables as text for a spreadsheet: RFC 4180, and no cell that it would run as a formula.

With commas and decimal points as programs want them; or with semicolons and
decimal commas, as spreadsheets of many countries do. The text begins with a byte
order mark: without it, the spreadsheet on most coaches' computers reads names as
another alphabet; readers of CSV skip it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

BOM = "\ufeff"
_BEGINNINGS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")

Value = str | int | float | None


@dataclass(frozen=True, slots=True)
class Style:
    """How fields are kept apart and fractions written."""

    between: str
    point: str


POINTS = Style(",", ".")
"""Commas between fields, decimal points."""

COMMAS = Style(";", ",")
"""Semicolons between fields, decimal commas."""


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


def csv_lines(
    head: Sequence[str], rows: Iterable[Sequence[Value]], style: Style = POINTS
) -> Iterator[str]:
    """The file line by line: a head line and rows of as many fields, lines ended by CR LF.

    Raises ValueError for a row of another length.
    """
    out = io.StringIO()
    writer = csv.writer(out, delimiter=style.between, lineterminator="\r\n")
    yield BOM + _line(out, writer, head)
    for row in rows:
        if len(row) != len(head):
            raise ValueError(f"{len(row)} fields under a head of {len(head)}")
        yield _line(out, writer, [_written(value, style) for value in row])


def _line(out: io.StringIO, writer: Any, fields: Sequence[Value]) -> str:
    out.seek(0)
    out.truncate()
    writer.writerow(fields)
    return out.getvalue()


def _written(value: Value, style: Style) -> Value:
    if isinstance(value, float):
        return repr(value).replace(".", style.point)
    return guarded(value)


def write_csv(head: Sequence[str], rows: Iterable[Sequence[Value]], style: Style = POINTS) -> str:
    """The whole text of the file. Raises ValueError for a row of another length.

    >>> write_csv(("name", "mean"), [("Noor", 0.5)], COMMAS)
    '\\ufeffname;mean\\r\\nNoor;0,5\\r\\n'
    """
    return "".join(csv_lines(head, rows, style))
