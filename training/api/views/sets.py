"""Sets, with the plans of the member who asks."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.paging import LINKED, Page, page_asked
from training.api.serializers import sets as shapes
from training.api.views.base import OF_CLUB, ClubView, refused
from training.selectors import plans
from training.selectors.earlier import earlier_page
from training.services.afterwards import plan_afterwards

PAGE, EVERY_PAGE = 14, 50


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
        parameters=[
            OpenApiParameter("page", int, description="14 sets a page, counted from 1."),
            *LINKED,
        ],
        responses={200: shapes.Set(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str) -> Response:
        now, start = timezone.now(), page_asked(request, PAGE)
        views = plans.own_sets(self.membership, now, start=start, count=PAGE)
        page = Page(request, start, PAGE, plans.own_set_count(self.membership, now))
        return page.of_array(shapes.Set(views, many=True).data)


class EverySet(ClubView):
    """Every set that has opened, newest first: by when it was due to close, of one kind if asked.

    The sets from before you joined are here too.
    """

    @extend_schema(
        operation_id="every_set",
        parameters=[shapes.SetsAsked, *LINKED],
        responses={
            200: shapes.Sets,
            **OF_CLUB,
            **refused({400: "A filter cannot be used; see errors."}),
        },
    )
    def get(self, request: Request, slug: str) -> Response:
        asked = shapes.SetsAsked(data=request.query_params)
        asked.is_valid(raise_exception=True)
        found = asked.validated_data
        start = (found["page"] - 1) * EVERY_PAGE
        rows, count = earlier_page(
            self.membership,
            timezone.now(),
            kind=found.get("kind", ""),
            start=start,
            count=EVERY_PAGE,
        )
        page = Page(request, start, EVERY_PAGE, count)
        return page.of_object({"results": shapes.EarlierSet(rows, many=True).data})


class Afterwards(ClubView):
    """A closed set planned again: for yourself, in no table and no review."""

    @extend_schema(
        operation_id="plan_afterwards",
        request=None,
        responses={
            200: shapes.Set,
            **OF_CLUB,
            **refused({409: "The set is still open, or it is your own already."}),
        },
    )
    def post(self, request: Request, slug: str, set_id: int) -> Response:
        """The set of your own with the same scrambles: made at the first call, then the same."""
        now = timezone.now()
        row = plans.set_row(self.membership, set_id, now)
        own = plan_afterwards(membership=self.membership, scramble_set=row, now=now)
        return Response(shapes.Set(plans.set_for(self.membership, own.pk, now)).data)
