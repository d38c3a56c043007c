"""Handing in a plan, and reading one's own."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.serializers import plans as shapes
from training.api.throttles import HandIns, PerPerson
from training.api.views.base import OF_CLUB, SENDING, ClubView, refused
from training.entry import Entry
from training.selectors import plans
from training.services.plans import hand_in
from training.visibility import Sealed


class OwnPlan(ClubView):
    """Your plan for one scramble, with its verdict once it is checked."""

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
            **refused(
                {
                    400: "The plan cannot be read, is empty or all in lower case; see detail.",
                    409: "The set has closed, or another plan is in already; `plan` shows it.",
                }
            ),
        },
    )
    def post(self, request: Request, slug: str, set_id: int, number: int) -> Response:
        """Hand in a plan: 201 when it was stored, 200 when the same key had brought it before.

        It is untimed: where a set's `timing` is `timed`, it counts 8.
        """
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
                pair=sent["pair_ahead"],
                held=sent["held"],
            ),
            key=sent["key"],
            now=now,
        )
        if handed.is_new:
            stored = shapes.Plan.out(plans.just_handed_in(handed.plan))
            return Response(stored, status=status.HTTP_201_CREATED)
        _, scramble = plans.scramble_for(self.membership, set_id, number, timezone.now())
        return Response(shapes.Plan(scramble.plan).data)
