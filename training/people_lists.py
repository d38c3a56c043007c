"""A pasted list of people, read line by line. Pure.

A line has a name, a group, whether somebody is under 18, and who agreed for a child: as much of it
as is known, parted by tabs, semicolons or commas, as spreadsheets copy them. A first line that
names the columns says in which order they come.
"""

from __future__ import annotations

import csv
import enum
from collections.abc import Sequence
from dataclasses import dataclass

MOST_LINES = 100
SEPARATORS = ("\t", ";", ",")

_YES = {"yes", "y", "x", "1", "true", "under 18", "<18"}
_NO = {"", "no", "n", "0", "false", "18 or older", "-"}


class ListColumn(enum.Enum):
    """What stands in a column."""

    NAME = "name"
    GROUP = "group"
    UNDER_18 = "under 18"
    CONSENT = "consent"


ORDER = tuple(ListColumn)


@dataclass(frozen=True, slots=True)
class ListedPerson:
    """A line as it was read; ``number``: counted from 1 as it was pasted.

    ``under_18`` is None where it cannot be told from what stands there.
    """

    number: int
    name: str
    group: str
    under_18: bool | None
    consent: str
    too_many: bool = False


def read_list(text: str) -> list[ListedPerson]:
    r"""The people of a pasted list; empty lines are passed over.

    >>> [(one.name, one.under_18) for one in read_list("Name;Under 18\nNoor;yes\n\nBo;")]
    [('Noor', True), ('Bo', False)]
    >>> read_list("Noor\tBuilders\tmaybe")[0].under_18 is None
    True
    """
    lines = [(n, one) for n, one in enumerate(text.splitlines(), start=1) if one.strip()]
    separator = _separator([one for _, one in lines])
    order: Sequence[ListColumn] = ORDER
    found = []
    for place, (number, line) in enumerate(lines):
        cells = [one.strip() for one in next(csv.reader([line], delimiter=separator))]
        named = _columns(cells) if place == 0 else None
        if named is not None:
            order = named
            continue
        by = dict(zip(order, cells, strict=False))
        found.append(
            ListedPerson(
                number=number,
                name=by.get(ListColumn.NAME, ""),
                group=by.get(ListColumn.GROUP, ""),
                under_18=_yes_or_no(by.get(ListColumn.UNDER_18, "")),
                consent=by.get(ListColumn.CONSENT, ""),
                too_many=any(cells[len(order) :]),
            )
        )
    return found


def _separator(lines: Sequence[str]) -> str:
    """The first that parts any line, so that a comma may stand in a cell of a table with tabs."""
    return next((one for one in SEPARATORS if any(one in line for line in lines)), ",")


def _columns(cells: Sequence[str]) -> list[ListColumn] | None:
    """The columns that a first line names; None where it is a person."""
    words = {one.value: one for one in ListColumn}
    named = [words.get(" ".join(one.casefold().split())) for one in cells]
    if ListColumn.NAME not in named or None in named:
        return None
    return [one for one in named if one is not None]


def _yes_or_no(cell: str) -> bool | None:
    word = " ".join(cell.casefold().split())
    if word in _YES:
        return True
    return False if word in _NO else None
