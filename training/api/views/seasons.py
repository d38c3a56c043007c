"""Seasons: their tables at any time; coaches make, change and remove one, and confirm the last."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.paging import IN_PAGES, in_pages
from training.api.serializers import challenges as shapes
from training.api.views.base import (
    OF_CLUB,
    OF_COACHES,
    SENDING,
    ClubView,
    CoachView,
    group_of_table,
    refused,
)
from training.models import Scope
from training.rights import require_coach
from training.selectors.seasons import season_for, season_table, seasons_of
from training.services import challenges, confirming

LATER = refused({409: "The state does not allow it: it says what it waits for."})
WRONG = refused({400: "An entry is missing or cannot be used; see errors."})


class Seasons(ClubView):
    """The seasons of a club, the newest at the head; coaches make one."""

    scope_to_write = Scope.COACH_WRITE

    @extend_schema(
        operation_id="seasons",
        parameters=IN_PAGES,
        responses={200: shapes.SeasonHead(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str) -> Response:
        found = seasons_of(self.membership, timezone.now())
        return in_pages(request, found, shapes.SeasonHead)

    @extend_schema(
        operation_id="make_season",
        request=shapes.MakeSeason,
        responses={201: shapes.SeasonTable, **OF_COACHES, **SENDING, **WRONG},
    )
    def post(self, request: Request, slug: str) -> Response:
        require_coach(self.membership)
        form = shapes.MakeSeason(data=request.data)
        form.is_valid(raise_exception=True)
        now = timezone.now()
        made = challenges.make_season(by=self.membership, now=now, **form.validated_data)
        found = season_table(self.membership, season_for(self.membership, made.pk), now)
        return Response(shapes.SeasonTable.out(found), status=status.HTTP_201_CREATED)


class OneSeason(ClubView):
    """A season's table, at any time; coaches change it, or remove it before it begins."""

    scope_to_write = Scope.COACH_WRITE

    @extend_schema(
        operation_id="season",
        parameters=[shapes.OfGroupAsked],
        responses={200: shapes.SeasonTable, **OF_CLUB, **WRONG},
    )
    def get(self, request: Request, slug: str, season_id: int) -> Response:
        season, now = season_for(self.membership, season_id), timezone.now()
        group = group_of_table(self.membership, request, now)
        found = season_table(self.membership, season, now, group)
        return Response(shapes.SeasonTable.out(found))

    @extend_schema(
        operation_id="change_season",
        request=shapes.ChangeSeason,
        responses={200: shapes.SeasonTable, **OF_COACHES, **SENDING, **WRONG, **LATER},
    )
    def post(self, request: Request, slug: str, season_id: int) -> Response:
        """Once it has begun its name alone can change."""
        require_coach(self.membership)
        season, now = season_for(self.membership, season_id), timezone.now()
        form = shapes.ChangeSeason(data=request.data)
        form.is_valid(raise_exception=True)
        as_it_is = {name: getattr(season, str(name)) for name in form.fields}
        challenges.change_season(
            season=season, by=self.membership, now=now, **{**as_it_is, **form.validated_data}
        )
        found = season_table(self.membership, season_for(self.membership, season_id), now)
        return Response(shapes.SeasonTable.out(found))

    @extend_schema(
        operation_id="remove_season",
        responses={204: None, **OF_COACHES, **LATER},
    )
    def delete(self, request: Request, slug: str, season_id: int) -> Response:
        """The sets stay; only a season that has not begun can be removed."""
        require_coach(self.membership)
        season = season_for(self.membership, season_id)
        challenges.remove_season(season=season, by=self.membership, now=timezone.now())
        return Response(status=status.HTTP_204_NO_CONTENT)


class ConfirmingSeason(CoachView):
    """Let the last table of a season stand."""

    @extend_schema(
        operation_id="confirm_season",
        request=None,
        responses={201: shapes.SeasonTable, **OF_COACHES, **LATER},
    )
    def post(self, request: Request, slug: str, season_id: int) -> Response:
        now = timezone.now()
        season = season_for(self.membership, season_id)
        confirming.confirm_season(season=season, by=self.membership, now=now)
        found = season_table(self.membership, season, now)
        return Response(shapes.SeasonTable.out(found), status=status.HTTP_201_CREATED)
