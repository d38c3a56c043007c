"""Reads that nearly every request makes, put into SQL once instead of at each request.

Django (5.2) puts a query into SQL anew whenever it is asked, which takes the web process several
times as long as the database needs to answer. What a query looks like depends on no request: only
the values in it differ. So it is put into SQL with marks in their places, and kept.

The query itself stands where its rule stands: what is kept is made of that.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any, Generic, TypeVar

from django.core.exceptions import EmptyResultSet
from django.db import DEFAULT_DB_ALIAS, connections, transaction
from django.db.models import QuerySet
from django.db.models.query import ModelIterable, ValuesListIterable, get_related_populators
from django.db.models.sql import UpdateQuery

Row = TypeVar("Row")

SMALL, LARGE = 2**15 - 1, 2**63 - 1
"""The largest numbers that the columns of small and of large whole numbers hold."""

TEXT, INSTANT, DAY, MANY, EITHER = 0, -1, -2, -3, -4
"""In place of a largest number: the value is text; an instant; a date; several numbers, each
``LARGE``; true or false, of which each has its query.
"""

FEW = 32
"""Of more numbers than that in one place the query is put into SQL anew."""

MOST_KEPT = 1000
"""So many queries are kept for a connection; each number of numbers has its own."""

_NONE: frozenset[int] = frozenset()

Value = int | str | date | Sequence[int]


class Prepared(Generic[Row]):
    """A query with places for values; called with the values it gives the rows.

    Args:
        make: makes the query, with related models selected and values in their places: of models,
            or of tuples by ``values_list``.
        most: for each place the largest number that its column holds, or what else it takes.
        unused: which places need not be in the query: every other that is not was forgotten.

    A number that no column holds has no rows: the database would refuse to be asked.
    """

    def __init__(
        self, make: Callable[..., QuerySet[Any, Row]], *most: int, unused: Collection[int] = ()
    ) -> None:
        self._make = make
        self._most = most
        self._unused = frozenset(unused)

    def __call__(self, *values: Value) -> list[Row]:
        """The rows for these values. One query; none where no row can be."""
        shape: list[Any] = [self]
        flat: list[Any] = []
        connection = connections[DEFAULT_DB_ALIAS]
        for value, most in zip(values, self._most, strict=True):
            if most == EITHER:
                shape.append(value)
            elif isinstance(value, int):
                if abs(value) > most:
                    return []
                flat.append(value)
            elif isinstance(value, str):
                flat.append(value)
            elif isinstance(value, datetime):
                flat.append(connection.ops.adapt_datetimefield_value(value))
            elif isinstance(value, date):
                flat.append(connection.ops.adapt_datefield_value(value))
            else:
                if len(value) > FEW:
                    return list(self._make(*values))
                shape.append(len(value))
                flat += value
        # They come and go with the connection: they are in its dialect.
        kept = connection.__dict__.setdefault("prepared", {})
        key = tuple(shape)
        try:
            query = kept[key]
        except KeyError:
            if len(kept) >= MOST_KEPT:
                kept.clear()
            query = kept[key] = self._compile(connection, shape[1:])
        return [] if query is None else query(flat)

    def _compile(self, connection: Any, shape: list[Any]) -> _Compiled | None:
        marks: list[Any] = []
        flat: list[Any] = []
        for most in self._most:
            if most == EITHER:
                marks.append(shape.pop(0))
            elif most == MANY:
                marks.append([_number(len(flat) + at) for at in range(shape.pop(0))])
                flat += marks[-1]
            else:
                marks.append(_mark(len(flat), most))
                flat.append(marks[-1])
                if most == INSTANT:
                    flat[-1] = connection.ops.adapt_datetimefield_value(marks[-1])
                elif most == DAY:
                    flat[-1] = connection.ops.adapt_datefield_value(marks[-1])
        try:
            return _Compiled(self._make(*marks), flat, self._unused)
        except EmptyResultSet:
            return None


class _Compiled:
    """A query in SQL. ``marks``: what stands in it for each of the values."""

    def __init__(
        self, queryset: QuerySet[Any, Any], marks: list[Any], unused: frozenset[int]
    ) -> None:
        compiler: Any = queryset.query.get_compiler(using=DEFAULT_DB_ALIAS)
        self._compiler = compiler
        self._sql, params = compiler.as_sql()
        self._places = _places(params, marks, unused)
        self._converters = compiler.get_converters([one[0] for one in compiler.select])
        assert not compiler.has_extra_select
        kind: Any = queryset._iterable_class
        assert kind is ModelIterable or kind is ValuesListIterable, "models, or tuples"
        self._models = kind is ModelIterable
        if self._models:
            info = compiler.klass_info
            columns = info["select_fields"]
            self._model, self._first, self._end = info["model"], columns[0], columns[-1] + 1
            self._names = [
                one[0].target.attname for one in compiler.select[self._first : self._end]
            ]
            self._populators = get_related_populators(info, compiler.select, DEFAULT_DB_ALIAS)  # type: ignore[call-arg]
            self._annotated = list((compiler.annotation_col_map or {}).items())

    def __call__(self, values: list[Any]) -> list[Any]:
        with connections[DEFAULT_DB_ALIAS].cursor() as cursor:
            cursor.execute(self._sql, _filled(self._places, values))
            rows = cursor.fetchall()
        # From here on as Django's own iterables.
        if self._converters:
            rows = self._compiler.apply_converters(rows, self._converters)
        if not self._models:
            return [tuple(row) for row in rows]
        found = []
        for row in rows:
            made = self._model.from_db(DEFAULT_DB_ALIAS, self._names, row[self._first : self._end])
            for one in self._populators:
                one.populate(row, made)
            for name, at in self._annotated:
                setattr(made, name, row[at])
            found.append(made)
        return found


class StandIn:
    """Stands for a membership in a query that serves many, which has its ``pk`` and ``club_id``.

    Beside these it has what rights follow from, copied: whom it is like may be given another role.
    What a rule asks of it beyond that fails.
    """

    __slots__ = ("club_id", "person", "pk", "role", "standing")

    def __init__(self, like: Any) -> None:
        self.role, self.standing = like.role, like.standing
        self.person = SimpleNamespace(is_active=like.person.is_active)


class PreparedChange:
    """An update with places for values; called with the values it gives how many rows it changed.

    Args:
        make: makes the rows to change, and by column what they are changed to.
        most: as of :class:`Prepared`, but for several numbers and instants.
    """

    def __init__(
        self, make: Callable[..., tuple[QuerySet[Any, Any], dict[str, Any]]], *most: int
    ) -> None:
        self._make = make
        self._most = most

    def __call__(self, *values: int | str) -> int:
        """One statement."""
        connection = connections[DEFAULT_DB_ALIAS]
        kept = connection.__dict__.setdefault("prepared", {})
        try:
            sql, places = kept[self,]
        except KeyError:
            sql, places = kept[self,] = self._compile()
        with (
            transaction.mark_for_rollback_on_error(DEFAULT_DB_ALIAS),
            connection.cursor() as cursor,
        ):
            cursor.execute(sql, _filled(places, values))
            return int(cursor.rowcount)

    def _compile(self) -> tuple[str, _Places]:
        marks = [_mark(at, most) for at, most in enumerate(self._most)]
        rows, changes = self._make(*marks)
        # From here on as Django's own ``update``.
        query: Any = rows.query.chain(UpdateQuery)
        query.add_update_values(changes)
        sql, params = query.get_compiler(using=DEFAULT_DB_ALIAS).as_sql()
        return sql, _places(params, marks)


_Places = list[tuple[int | None, Any]]
"""For each parameter of a statement which value it is; None: the one that stands beside it."""


def _places(params: Sequence[Any], marks: list[Any], unused: frozenset[int] = _NONE) -> _Places:
    places = [(marks.index(one) if one in marks else None, one) for one in params]
    missing = set(range(len(marks))) - {at for at, _ in places} - unused
    assert not missing, f"places of the query that are not in its SQL: {missing}"
    reckoned = [one for at, one in places if at is None and _is_near_a_mark(one)]
    assert not reckoned, f"reckoned from a place of the query, and would stay: {reckoned}"
    return places


def _filled(places: _Places, values: Sequence[Any]) -> list[Any]:
    return [given if at is None else values[at] for at, given in places]


def _mark(at: int, most: int) -> int | str | date:
    """What stands for a value: nothing else in a query is like it."""
    if most == TEXT:
        return f"place {at} of the query"
    if most == INSTANT:
        return datetime(1, 2, 3, microsecond=at + 1, tzinfo=UTC)
    if most == DAY:
        return date(1 + at, 2, 3)
    return _number(at)


def _is_near_a_mark(one: object) -> bool:
    """Whether a value of a query was reckoned from a mark, as a week before an instant is."""
    if isinstance(one, datetime | date):
        return one.year < MOST_KEPT
    if isinstance(one, str):
        return one.startswith("place ") or (one[:2] in {"00", "01"} and one[4:5] == "-")
    return isinstance(one, int) and SMALL - MOST_KEPT < one < SMALL + MOST_KEPT


def _number(at: int) -> int:
    return SMALL - at
