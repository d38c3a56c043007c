"""Series, for coaches: the rules by which a club's sets issue themselves."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.paging import IN_PAGES, in_pages
from training.api.serializers import series as shapes
from training.api.views.base import OF_COACHES, SENDING, CoachView, groups_named, refused
from training.selectors.series_views import series_for, series_view, series_views
from training.services import series as services
from training.services.rehearsing import rehearsed

WRONG = refused({400: "An entry is missing or cannot be used; see errors."})


class AllSeries(CoachView):
    """The series that come again, oldest first; and another one."""

    @extend_schema(
        operation_id="all_series",
        parameters=IN_PAGES,
        responses={200: shapes.SeriesOfSets(many=True), **OF_COACHES},
    )
    def get(self, request: Request, slug: str) -> Response:
        found = series_views(self.membership, timezone.now())
        return in_pages(request, found, shapes.SeriesOfSets)

    @extend_schema(
        operation_id="start_series",
        request=shapes.StartSeries,
        responses={
            200: shapes.SeriesOfSets,
            201: shapes.SeriesOfSets,
            **OF_COACHES,
            **SENDING,
            **WRONG,
        },
    )
    def post(self, request: Request, slug: str) -> Response:
        """200 with what it would be, 201 once it is stored."""
        form = shapes.StartSeries(data=request.data)
        form.is_valid(raise_exception=True)
        entered, now = form.validated_data, timezone.now()
        groups = groups_named(self.membership, entered.get("groups", ()))
        found = rehearsed(
            lambda: services.start_series(
                by=self.membership,
                settings=form.entered,
                begins_on=entered["begins_on"],
                groups=groups,
                now=now,
            ),
            lambda made: series_view(self.membership, made.pk, now),
            store=entered["store"],
        )
        code = status.HTTP_201_CREATED if entered["store"] else status.HTTP_200_OK
        return Response(shapes.SeriesOfSets.out(found), status=code)


class OneSeries(CoachView):
    """One series: see it, change it, stop it, let it go on."""

    @extend_schema(operation_id="series", responses={200: shapes.SeriesOfSets, **OF_COACHES})
    def get(self, request: Request, slug: str, series_id: int) -> Response:
        found = series_view(self.membership, series_id, timezone.now())
        return Response(shapes.SeriesOfSets.out(found))

    @extend_schema(
        operation_id="change_series",
        request=shapes.ChangeSeries,
        responses={200: shapes.SeriesOfSets, **OF_COACHES, **SENDING, **WRONG},
    )
    def post(self, request: Request, slug: str, series_id: int) -> Response:
        """Sets that have not opened are drawn afresh; an open one stays as it is."""
        series = series_for(self.membership, series_id)
        form = shapes.ChangeSeries(data=request.data)
        form.is_valid(raise_exception=True)
        entered, now = form.validated_data, timezone.now()
        chosen = entered.get("groups")
        groups = None if chosen is None else groups_named(self.membership, chosen)
        in_use = entered.get("in_use")

        def change() -> None:
            by = self.membership
            services.change_series(
                by=by, series=series, changes=form.entered, groups=groups, now=now
            )
            if in_use is not None:
                act = services.go_on if in_use else services.stop_series
                act(by=by, series=series, now=now)

        found = rehearsed(
            change,
            lambda _done: series_view(self.membership, series_id, now),
            store=entered["store"],
        )
        return Response(shapes.SeriesOfSets.out(found))
