"""Tables of a set, a day, a week, all time."""

from __future__ import annotations

from datetime import date, datetime

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.paging import IN_PAGES, in_pages
from training.api.serializers import tables as shapes
from training.api.serializers.groups import GroupTableAsked
from training.api.views.base import OF_CLUB, ClubView, refused
from training.selectors import tables
from training.selectors.timed_plans import timed_plans

ASKED = {**OF_CLUB, **refused({400: "What is asked for cannot be read; see errors."})}


def _asked(view: ClubView, request: Request, now: datetime) -> tables.GroupAsked | None:
    """The group whose own table is asked for; None: everybody's."""
    form = GroupTableAsked(data=request.query_params)
    form.is_valid(raise_exception=True)
    number = form.validated_data.get("group")
    if number is None:
        return None
    own = form.validated_data["sets"] == "own"
    return tables.group_asked(view.membership, number, now, own_sets=own)


class SetTable(ClubView):
    """The table of one set."""

    @extend_schema(operation_id="set_table", responses={200: shapes.Table, **OF_CLUB})
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        table = tables.set_table(self.membership, set_id, timezone.now())
        return Response(shapes.Table(table).data)


class TimedPlansOfSet(ClubView):
    """The timed plans of a set alone, by member: a list without ranks, which charges nobody."""

    @extend_schema(
        operation_id="timed_plans",
        parameters=IN_PAGES,
        responses={200: shapes.TimedPlans(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        table = tables.set_table(self.membership, set_id, timezone.now())
        return in_pages(request, timed_plans(table), shapes.TimedPlans)


class DayTable(ClubView):
    """The table of the sets that close, or closed, on a day of the club's calendar."""

    @extend_schema(
        operation_id="day_table",
        parameters=[GroupTableAsked],
        responses={200: shapes.Table, **ASKED},
    )
    def get(self, request: Request, slug: str, day: date) -> Response:
        now = timezone.now()
        table = tables.day_table(self.membership, day, now, of=_asked(self, request, now))
        return Response(shapes.Table(table).data)


class WeekTable(ClubView):
    """The table of a week, Monday to Sunday: of that in which `day` lies."""

    @extend_schema(
        operation_id="week_table",
        parameters=[GroupTableAsked],
        responses={200: shapes.Table, **ASKED},
    )
    def get(self, request: Request, slug: str, day: date) -> Response:
        now = timezone.now()
        table = tables.week_table(self.membership, day, now, of=_asked(self, request, now))
        return Response(shapes.Table(table).data)


class AllTimeTable(ClubView):
    """Everybody who is ranked, by the mean over the closed sets that count for them."""

    @extend_schema(
        operation_id="all_time_table",
        parameters=[GroupTableAsked],
        responses={200: shapes.Table, **ASKED},
    )
    def get(self, request: Request, slug: str) -> Response:
        now = timezone.now()
        table = tables.all_time_table(self.membership, now, of=_asked(self, request, now))
        return Response(shapes.Table(table).data)
