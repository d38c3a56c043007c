"""Tables and the coach's overview."""

from __future__ import annotations

from datetime import date

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api import serializers
from training.api.views.base import PROBLEMS, ClubView, CoachView, problem
from training.selectors import coach, tables

COACHES = {**PROBLEMS, 403: problem("Only a coach of the club may see this.")}


class SetTable(ClubView):
    """The table of one set."""

    @extend_schema(operation_id="set_table", responses={200: serializers.Table, **PROBLEMS})
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        table = tables.set_table(self.membership, set_id, timezone.now())
        return Response(serializers.Table(table).data)


class DayTable(ClubView):
    """The table of a day, by closing day on the club's calendar."""

    @extend_schema(operation_id="day_table", responses={200: serializers.Table, **PROBLEMS})
    def get(self, request: Request, slug: str, day: date) -> Response:
        table = tables.day_table(self.membership, day, timezone.now())
        return Response(serializers.Table(table).data)


class WeekTable(ClubView):
    """The table of the week, Monday to Sunday, that ``day`` is in."""

    @extend_schema(operation_id="week_table", responses={200: serializers.Table, **PROBLEMS})
    def get(self, request: Request, slug: str, day: date) -> Response:
        table = tables.week_table(self.membership, day, timezone.now())
        return Response(serializers.Table(table).data)


class AllTimeTable(ClubView):
    """Everybody by the mean over the closed sets since joining."""

    @extend_schema(operation_id="all_time_table", responses={200: serializers.Table, **PROBLEMS})
    def get(self, request: Request, slug: str) -> Response:
        table = tables.all_time_table(self.membership, timezone.now())
        return Response(serializers.Table(table).data)


class CoachOverview(CoachView):
    """The coach's day: who handed in, who did not, every plan, the week's moves lost."""

    @extend_schema(operation_id="coach_overview", responses={200: serializers.Overview, **COACHES})
    def get(self, request: Request, slug: str) -> Response:
        found = coach.overview(self.membership, timezone.now())
        return Response(serializers.Overview(found).data)


class CoachSet(CoachView):
    """One set with everybody's plans."""

    @extend_schema(operation_id="coach_set", responses={200: serializers.CoachSet, **COACHES})
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        found = coach.set_overview(self.membership, set_id, timezone.now())
        return Response(serializers.CoachSet(found).data)
