"""Everything that a club owns in one archive, written as it is read: never whole in memory."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, time
from typing import Any
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _

from training import rights
from training.models import Club, Done, Membership
from training.selectors.archive import ArchiveTable, archive_tables
from training.services import deeds
from training.sheets import POINTS, Style, Value, csv_lines

CHUNK = 64 * 1024


def export_club(
    *, by: Membership, style: Style = POINTS, now: datetime | None = None
) -> Iterator[bytes]:
    """The archive of ``by``'s club, piece by piece; the club's log notes it.

    Raises NotAllowed for anybody but an owner, before the first piece.
    """
    rights.require_own(by)
    now = now or timezone.now()
    deeds.note(what=Done.CLUB_EXPORTED, by=by, whom=by, now=now)
    return club_archive(by.club, style=style, now=now)


def club_archive(
    club: Club, *, style: Style = POINTS, now: datetime | None = None
) -> Iterator[bytes]:
    """A zip archive in pieces: a README, and each table as CSV and as JSON."""
    now = now or timezone.now()
    sink = _Sink()
    stamp = now.astimezone(UTC).timetuple()[:6]
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_DEFLATED) as made:  # type: ignore[call-overload]
        tables = list(archive_tables(club, now))
        entries: list[tuple[str, Iterable[str]]] = [("README.txt", [read_me(club, tables, now)])]
        for table in tables:
            entries += [
                (f"{table.name}.csv", _as_csv(table, style)),
                (f"{table.name}.json", _as_json(table)),
            ]
        for name, lines in entries:
            info = zipfile.ZipInfo(name, stamp)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o600 << 16
            with made.open(info, "w") as file:
                for line in lines:
                    file.write(line.encode())
                    yield from sink.full_pieces()
    yield sink.rest()


class _Sink:
    """What the archive is written to: it can only be written on, and is emptied meanwhile."""

    def __init__(self) -> None:
        self._held = bytearray()

    def write(self, data: bytes) -> int:
        self._held += data
        return len(data)

    def flush(self) -> None:
        """Nothing is kept elsewhere."""

    def full_pieces(self) -> Iterator[bytes]:
        if len(self._held) >= CHUNK:
            yield self.rest()

    def rest(self) -> bytes:
        held = bytes(self._held)
        self._held.clear()
        return held


def _as_csv(table: ArchiveTable, style: Style) -> Iterator[str]:
    rows = ([_cell(value) for value in row] for row in table.read(table.columns))
    return csv_lines([_named(one) for one in table.columns], rows, style)


def _as_json(table: ArchiveTable) -> Iterator[str]:
    columns = (*table.columns, *table.in_json_alone)
    names = [_named(one) for one in columns]
    before = "[\n"
    for row in table.read(columns):
        yield before + json.dumps(
            dict(zip(names, row, strict=True)), default=_plain, ensure_ascii=False
        )
        before = ",\n"
    yield "[]\n" if before == "[\n" else "\n]\n"


def _named(column: str) -> str:
    """The name of a column: of a way to another table its end."""
    return column.rpartition("__")[2].removesuffix("_id") if column != "id" else column


def _cell(value: Any) -> Value:
    if value is None or isinstance(value, str | float):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return value
    if isinstance(value, list | dict):
        return json.dumps(value, default=_plain, ensure_ascii=False)
    return _plain(value)


def _plain(value: Any) -> str:
    """Times, dates and ids as RFC 3339 and RFC 9562 write them."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, UUID):
        return str(value)
    raise TypeError(f"{type(value).__name__} has no form in an archive")


def read_me(club: Club, tables: Iterable[ArchiveTable], now: datetime) -> str:
    """What the archive is, in the reader's tongue: names of tables and columns stay."""
    said = [
        _("Everything that {club} owns, as it was at {time} (UTC).").format(
            club=club.name, time=now.astimezone(UTC).isoformat(timespec="seconds")
        ),
        _(
            "Each table stands twice: as CSV (RFC 4180, UTF-8) for a spreadsheet, and as JSON "
            "(RFC 8259) for a program. In the CSV a text that a spreadsheet would take for a "
            "formula has an apostrophe before it; in the JSON every text is as it was."
        ),
        _(
            "A column that is called like another table holds the id of a row there. Times are in "
            "UTC. Moves are WCA notation, Article 12."
        ),
        _(
            "Not in it: sets that have not opened, plans of sets that are still open, spare "
            "scrambles, seeds, and whatever lets somebody in (phrases, codes, links, tokens). Own "
            "practice and sets planned again afterwards are each member’s alone, who reads them "
            "out under My data."
        ),
        _("It holds what people are called and what was noted about them: keep it safe."),
    ]
    lines = [f"{table.name}: {table.about}" for table in tables]
    return "\n\n".join([*said, "\n".join(lines)]) + "\n"
