"""Tables of a set, a day, a week, all time."""

from __future__ import annotations

from datetime import date

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.serializers import tables as shapes
from training.api.views.base import OF_CLUB, ClubView
from training.selectors import tables


class SetTable(ClubView):
    """The table of one set."""

    @extend_schema(operation_id="set_table", responses={200: shapes.Table, **OF_CLUB})
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        table = tables.set_table(self.membership, set_id, timezone.now())
        return Response(shapes.Table(table).data)


class DayTable(ClubView):
    """The table of the sets that close, or closed, on a day of the club's calendar."""

    @extend_schema(operation_id="day_table", responses={200: shapes.Table, **OF_CLUB})
    def get(self, request: Request, slug: str, day: date) -> Response:
        table = tables.day_table(self.membership, day, timezone.now())
        return Response(shapes.Table(table).data)


class WeekTable(ClubView):
    """The table of a week, Monday to Sunday: of that in which `day` lies."""

    @extend_schema(operation_id="week_table", responses={200: shapes.Table, **OF_CLUB})
    def get(self, request: Request, slug: str, day: date) -> Response:
        table = tables.week_table(self.membership, day, timezone.now())
        return Response(shapes.Table(table).data)


class AllTimeTable(ClubView):
    """Everybody who is ranked, by the mean over the closed sets that count for them."""

    @extend_schema(operation_id="all_time_table", responses={200: shapes.Table, **OF_CLUB})
    def get(self, request: Request, slug: str) -> Response:
        table = tables.all_time_table(self.membership, timezone.now())
        return Response(shapes.Table(table).data)
