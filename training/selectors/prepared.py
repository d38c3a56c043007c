"""Reads that a hand-in cannot do without, put into SQL once instead of at each request.

Django (5.2) puts a query into SQL anew whenever it is asked, which takes the web process several
times as long as the database needs to answer. What a query looks like depends on no request: only
the values in it differ. So it is put into SQL with marks in their places, and kept.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, Generic, TypeVar

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.models import Model, QuerySet
from django.db.models.query import get_related_populators

Row = TypeVar("Row", bound=Model)

SMALL, LARGE = 2**15 - 1, 2**63 - 1
"""The largest numbers that the columns of small and of large whole numbers hold."""

TEXT = 0
"""In place of a largest number: the value is text."""


class Prepared(Generic[Row]):
    """A query with places for values; called with the values it gives the rows, as models.

    Args:
        make: makes the query, with related models selected and values in their places.
        most: for each place the largest number that its column holds, or ``TEXT``.

    A number that no column holds has no rows: the database would refuse to be asked.
    """

    def __init__(self, make: Callable[..., QuerySet[Row]], *most: int) -> None:
        self._make = make
        self._most = most
        # Of each thread its own, as connections are.
        self._local = threading.local()

    def __call__(self, *values: int | str) -> list[Row]:
        """The rows for these values. One query."""
        for value, most in zip(values, self._most, strict=True):
            if not isinstance(value, str) and abs(value) > most:
                return []
        if not hasattr(self._local, "compiled"):
            self._local.compiled = self._compile()
        compiler, sql, places, converters, populators = self._local.compiled
        connection = connections[DEFAULT_DB_ALIAS]
        with connection.cursor() as cursor:
            cursor.execute(sql, [given if at is None else values[at] for at, given in places])
            rows = cursor.fetchall()
        # From here on as Django's own iterable of models.
        info = compiler.klass_info
        columns = info["select_fields"]
        first, end = columns[0], columns[-1] + 1
        names = [one[0].target.attname for one in compiler.select[first:end]]
        found = []
        for row in compiler.apply_converters(rows, converters):
            made = info["model"].from_db(DEFAULT_DB_ALIAS, names, row[first:end])
            for one in populators:
                one.populate(row, made)
            found.append(made)
        return found

    def _compile(self) -> tuple[Any, ...]:
        marks = [_mark(at, most) for at, most in enumerate(self._most)]
        compiler: Any = self._make(*marks).query.get_compiler(using=DEFAULT_DB_ALIAS)
        sql, params = compiler.as_sql()
        places = [(marks.index(one) if one in marks else None, one) for one in params]
        missing = set(range(len(marks))) - {at for at, _ in places}
        assert not missing, f"places of the query that are not in its SQL: {missing}"
        converters = compiler.get_converters([one[0] for one in compiler.select])
        populators = get_related_populators(compiler.klass_info, compiler.select, DEFAULT_DB_ALIAS)  # type: ignore[call-arg]
        return compiler, sql, places, converters, populators


def _mark(at: int, most: int) -> int | str:
    """What stands for a value: nothing else in a query is like it."""
    return f"place {at} of the query" if most == TEXT else SMALL - at
