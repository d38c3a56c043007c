"""What a coach sees of a day."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.serializers import coach as shapes
from training.api.views.base import OF_COACHES, CoachView
from training.selectors import coach


class CoachOverview(CoachView):
    """The coach's day: who has handed in, every plan, and what the week's moves were lost to."""

    @extend_schema(operation_id="coach_overview", responses={200: shapes.Overview, **OF_COACHES})
    def get(self, request: Request, slug: str) -> Response:
        found = coach.overview(self.membership, timezone.now())
        return Response(shapes.Overview(found).data)


class CoachSet(CoachView):
    """One set with everybody's plans."""

    @extend_schema(operation_id="coach_set", responses={200: shapes.CoachSet, **OF_COACHES})
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        found = coach.set_overview(self.membership, set_id, timezone.now())
        return Response(shapes.CoachSet(found).data)
