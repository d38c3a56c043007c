"""Sets and plans of the member who asks."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.serializers import sets as shapes
from training.api.throttles import HandIns, PerPerson
from training.api.views.base import OF_CLUB, SENDING, ClubView, problems
from training.entry import Entry
from training.selectors import plans
from training.services.plans import hand_in
from training.visibility import Sealed

PAGE = 14


class SetsNow(ClubView):
    """The sets that are open now, with their scrambles and the own plans."""

    @extend_schema(operation_id="sets_now", responses={200: shapes.Set(many=True), **OF_CLUB})
    def get(self, request: Request, slug: str) -> Response:
        views = plans.sets_now(self.membership, timezone.now())
        return Response(shapes.Set(views, many=True).data)


class OneSet(ClubView):
    """One set that has opened."""

    @extend_schema(operation_id="set", responses={200: shapes.Set, **OF_CLUB})
    def get(self, request: Request, slug: str, set_id: int) -> Response:
        view = plans.set_for(self.membership, set_id, timezone.now())
        return Response(shapes.Set(view).data)


class OwnPlan(ClubView):
    """The own plan for one scramble: hand it in, read its verdict."""

    throttle_classes = [PerPerson]

    def get_throttles(self) -> list[Any]:
        extra = [HandIns()] if self.request.method == "POST" else []
        return [*super().get_throttles(), *extra]

    @extend_schema(operation_id="own_plan", responses={200: shapes.Plan, **OF_CLUB})
    def get(self, request: Request, slug: str, set_id: int, number: int) -> Response:
        _, scramble = plans.scramble_for(self.membership, set_id, number, timezone.now())
        if scramble.plan is None:
            raise Sealed
        return Response(shapes.Plan(scramble.plan).data)

    @extend_schema(
        operation_id="hand_in",
        request=shapes.HandIn,
        responses={
            201: shapes.Plan,
            200: shapes.Plan,
            **OF_CLUB,
            **SENDING,
            **problems(
                {
                    400: "The plan cannot be read, is empty or all in lower case; see detail.",
                    409: "The set has closed, or another plan is in already; `plan` shows it.",
                }
            ),
        },
    )
    def post(self, request: Request, slug: str, set_id: int, number: int) -> Response:
        """Hand in. 201 when the plan was stored, 200 when the same key gave it before."""
        form = shapes.HandIn(data=request.data)
        form.is_valid(raise_exception=True)
        sent = form.validated_data
        now = timezone.now()
        handed = hand_in(
            membership=self.membership,
            scramble=plans.scramble_row(self.membership, set_id, number, now),
            entry=Entry.of(
                sent["plan"],
                no_plan=sent["no_plan"],
                cross_is_solved=sent["cross_is_solved"],
                lower_case_meant=sent["lower_case_meant"],
            ),
            key=sent["key"],
            now=now,
        )
        _, scramble = plans.scramble_for(self.membership, set_id, number, timezone.now())
        code = status.HTTP_201_CREATED if handed.is_new else status.HTTP_200_OK
        return Response(shapes.Plan(scramble.plan).data, status=code)


class OwnSets(ClubView):
    """The sets since joining with the own plans and verdicts, newest first."""

    @extend_schema(
        operation_id="own_sets",
        parameters=[OpenApiParameter("page", int, description="From 1.")],
        responses={200: shapes.Set(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str) -> Response:
        raw = request.query_params.get("page", "1")
        page = int(raw) if raw.isascii() and raw.isdigit() and 1 <= len(raw) <= 6 else 0
        if page < 1:
            raise Sealed
        views = plans.own_sets(self.membership, timezone.now(), start=(page - 1) * PAGE, count=PAGE)
        return Response(shapes.Set(views, many=True).data)
