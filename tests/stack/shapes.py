"""What a database is made of, as facts that two databases can be compared by.

The order of a table's columns is none of them: both kinds of database answer by names, and so do
the copies and the moves of ours (``COPY`` names its columns).
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import psycopg

Facts = list[tuple[Any, ...]]

WHEN = ("django_migrations", "applied")
"""The one column that differs in two databases made at two times."""

_OF_POSTGRESQL = {
    "tables": "SELECT relname, relkind, relpersistence, reloptions FROM pg_class "
    "WHERE relnamespace = 'public'::regnamespace",
    "columns": "SELECT relname, attname, format_type(atttypid, atttypmod), attnotnull, "
    "attidentity, attgenerated, attcollation, pg_get_expr(adbin, adrelid) "
    "FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid "
    "LEFT JOIN pg_attrdef ON adrelid = attrelid AND adnum = attnum "
    "WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' "
    "AND attnum > 0 AND NOT attisdropped",
    "constraints": "SELECT conrelid::regclass::text, conname, contype, condeferrable, "
    "condeferred, convalidated, pg_get_constraintdef(oid) "
    "FROM pg_constraint WHERE connamespace = 'public'::regnamespace",
    "indexes": "SELECT tablename, indexname, indexdef FROM pg_indexes WHERE schemaname = 'public'",
    "sequences": "SELECT sequencename, data_type, start_value, min_value, max_value, "
    "increment_by, cycle, last_value FROM pg_sequences WHERE schemaname = 'public'",
    "triggers": "SELECT tgrelid::regclass::text, tgname, pg_get_triggerdef(oid) "
    "FROM pg_trigger WHERE NOT tgisinternal",
    "functions": "SELECT proname, prosrc FROM pg_proc "
    "WHERE pronamespace = 'public'::regnamespace",
    "extensions": "SELECT extname FROM pg_extension",
}  # fmt: skip


def of_file(path: Path) -> dict[str, Facts]:
    """The facts of a SQLite file, its rows among them."""
    with closing(sqlite3.connect(path)) as file:
        made = file.execute("SELECT type, name, tbl_name, sql FROM sqlite_master").fetchall()
        found: dict[str, Facts] = {"beside tables": [], "tables": []}
        for kind, name, table, sql in made:
            if kind == "table":
                found["tables"] += [(name, part) for part in _parts(sql)]
            else:
                # Indexes, among them those of UNIQUE, triggers, views.
                found["beside tables"].append((kind, table, name, sql))
        # A table that had no row yet stands at 0 or is not listed; its numbers begin alike.
        last = "SELECT name, seq FROM sqlite_sequence WHERE seq > 0"
        found["sequences"] = file.execute(last).fetchall()
        names = [name for kind, name, *_ in made if kind == "table" and "sqlite_" not in name]
        found["rows"] = [
            row for name in names for row in _rows(name, file.execute(f'SELECT * FROM "{name}"'))
        ]
    return {subject: sorted(facts, key=repr) for subject, facts in found.items()}


def of_server(address: str) -> dict[str, Facts]:
    """The facts of a PostgreSQL database, its rows among them."""
    connection: Any = psycopg.connect(address)
    with connection as there:
        found: dict[str, Facts] = {
            subject: there.execute(question).fetchall()
            for subject, question in _OF_POSTGRESQL.items()
        }
        names = [name for name, kind, *_ in found["tables"] if kind == "r"]
        found["rows"] = [
            row for name in names for row in _rows(name, there.execute(f'SELECT * FROM "{name}"'))
        ]
    return {subject: sorted(facts, key=repr) for subject, facts in found.items()}


def _parts(sql: str) -> Iterator[str]:
    """Columns and constraints of a CREATE TABLE, cut at the commas between them."""
    head, _, body = sql.partition("(")
    yield head.strip()
    depth, quoted, part = 0, "", ""
    for sign in body:
        if quoted:
            quoted = "" if sign == quoted else quoted
        elif sign in "'\"":
            quoted = sign
        elif sign in "()":
            depth += 1 if sign == "(" else -1
            if depth < 0:
                break
        elif sign == "," and depth == 0:
            yield _plain(part)
            part = ""
            continue
        part += sign
    yield _plain(part)


def _plain(part: str) -> str:
    return re.sub(r"\s+", " ", part).strip()


def _rows(table: str, cursor: Any) -> Iterator[tuple[Any, ...]]:
    columns = [one[0] for one in cursor.description]
    for row in cursor:
        cells = zip(columns, row, strict=True)
        yield table, tuple(sorted(cell for cell in cells if (table, cell[0]) != WHEN))
