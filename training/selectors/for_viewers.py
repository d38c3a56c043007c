"""Lists of :mod:`training.visibility`, put into SQL once for all who see by the same rule.

What is there for a viewer depends on which membership it is, of which club, and on whether it
coaches there. The first two are places of the query, of the third each answer has its query. A
rule that asked for anything else of a viewer fails here when it is put into SQL.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from typing import Any, Generic, TypeVar

from django.db.models import QuerySet

from training.models import Membership
from training.prepared import LARGE, Prepared, StandIn, Value
from training.rights import may_coach

Row = TypeVar("Row")


class PreparedFor(Generic[Row]):
    """As :class:`training.prepared.Prepared`; the first value of ``make`` is the viewer."""

    def __init__(self, make: Callable[..., QuerySet[Any, Row]], *most: int) -> None:
        self._make = make
        self._most = most
        self._by_right: dict[bool, Prepared[Row]] = {}

    def __call__(self, viewer: Membership, *values: Value) -> list[Row]:
        """The rows for this viewer and these values. One query; none where no row can be."""
        coaches = may_coach(viewer)
        if coaches not in self._by_right:
            self._by_right[coaches] = self._prepare(StandIn(viewer), coaches)
        return self._by_right[coaches](viewer.pk, viewer.club_id, *values)

    def _prepare(self, like: StandIn, coaches: bool) -> Prepared[Row]:
        def make(pk: int, club_id: int, *values: Value) -> QuerySet[Any, Row]:
            viewer: Any = copy(like)
            viewer.pk, viewer.club_id = pk, club_id
            assert may_coach(viewer) is coaches
            return self._make(viewer, *values)

        # To coaches it may be all the same who they are.
        return Prepared(make, LARGE, LARGE, *self._most, unused=(0,))
