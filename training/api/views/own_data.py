"""What is kept about somebody, as a file; and a club's log."""

from __future__ import annotations

from typing import Any, cast

from django.http import Http404
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from training.api.paging import LINKED, Page
from training.api.serializers import own_data as shapes
from training.api.views.base import OF_CLUB, OF_COACHES, SIGNED_IN, ClubView, CoachView, refused
from training.models import Person, Scope
from training.selectors.clubs import membership_in
from training.selectors.deeds import club_log, log_count
from training.services import exporting

LINES = 100


def _as_file(data: Any, name: str) -> Response:
    """The answer as a file to keep; the name is plain, because some systems read no other."""
    return Response(data, headers={"Content-Disposition": f'attachment; filename="{name}.json"'})


class MyData(APIView):
    """Everything that is kept about you, in one file."""

    @extend_schema(operation_id="my_data", responses={200: shapes.OwnData, **SIGNED_IN})
    def get(self, request: Request) -> Response:
        found = exporting.own_data(person=cast(Person, request.user))
        return _as_file(shapes.OwnData(found).data, "within-eight-my-data")


class MemberData(CoachView):
    """All that this club keeps of a member, for a guardian who asks. The club's log notes it."""

    scope_to_read = Scope.PEOPLE

    @extend_schema(operation_id="member_data", responses={200: shapes.ClubData, **OF_COACHES})
    def get(self, request: Request, slug: str, membership_id: int) -> Response:
        member = membership_in(self.membership.club, membership_id)
        if member is None:
            raise Http404
        found = exporting.club_data(by=self.membership, membership=member)
        return _as_file(shapes.ClubData(found).data, f"within-eight-member-{member.pk}")


class Log(ClubView):
    """Who did what to whom in the club, newest first; for its owners."""

    scope_to_read = Scope.PEOPLE

    @extend_schema(
        operation_id="club_log",
        parameters=[shapes.LogAsked, *LINKED],
        responses={
            200: shapes.ClubLog,
            **OF_CLUB,
            **refused(
                {
                    400: "A filter cannot be used; see errors.",
                    403: "Only the owners of the club may read this.",
                }
            ),
        },
    )
    def get(self, request: Request, slug: str) -> Response:
        asked = shapes.LogAsked(data=request.query_params)
        asked.is_valid(raise_exception=True)
        start = asked.validated_data["start"]
        found = club_log(self.membership, start=start, count=LINES)
        page = Page(request, start, LINES, log_count(self.membership), by="start")
        lines = shapes.LogLine(found.lines, many=True).data
        return page.of_object({"lines": lines, "has_older": found.has_older})
