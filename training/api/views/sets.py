"""Sets, with the plans of the member who asks."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.serializers import sets as shapes
from training.api.views.base import OF_CLUB, ClubView
from training.selectors import plans
from training.visibility import Sealed

PAGE = 14


class SetsNow(ClubView):
    """The sets that are open now, with their scrambles and your plans."""

    @extend_schema(operation_id="sets_now", responses={200: shapes.Set(many=True), **OF_CLUB})
    def get(self, request: Request, slug: str) -> Response:
        views = plans.sets_now(self.membership, timezone.now())
        return Response(shapes.Set(views, many=True).data)


class OneSet(ClubView):
    """One set that has opened, with your plans."""

    @extend_schema(operation_id="set", responses={200: shapes.Set, **OF_CLUB})
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        view = plans.set_for(self.membership, set_id, timezone.now())
        return Response(shapes.Set(view).data)


class OwnSets(ClubView):
    """The sets since you joined, with your plans and verdicts, newest first."""

    @extend_schema(
        operation_id="own_sets",
        parameters=[OpenApiParameter("page", int, description="14 sets a page, counted from 1.")],
        responses={200: shapes.Set(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str) -> Response:
        raw = request.query_params.get("page", "1")
        page = int(raw) if raw.isascii() and raw.isdigit() and 1 <= len(raw) <= 6 else 0
        if page < 1:
            raise Sealed
        views = plans.own_sets(self.membership, timezone.now(), start=(page - 1) * PAGE, count=PAGE)
        return Response(shapes.Set(views, many=True).data)
