"""Reviews: one's own, a member's for a coach, the group's for a coach."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api import review_serializers as serializers
from training.api.views.base import PROBLEMS, ClubView, CoachView, problem
from training.selectors.group_reviews import group_review
from training.selectors.reviews import review_for
from training.visibility import Sealed

COACHES = {**PROBLEMS, 403: problem("Only a coach of the club may see this.")}


class OwnProgress(ClubView):
    """What the own plans show. Nobody but you and the coaches sees it."""

    @extend_schema(operation_id="progress", responses={200: serializers.Progress, **PROBLEMS})
    def get(self, request: Request, slug: str) -> Response:
        found = review_for(self.membership, self.membership.pk, timezone.now())
        return Response(serializers.Progress(found).data)


class MemberProgress(CoachView):
    """What one member's plans show."""

    @extend_schema(operation_id="member_progress", responses={200: serializers.Progress, **COACHES})
    def get(self, request: Request, slug: str, membership_id: int) -> Response:
        found = review_for(self.membership, membership_id, timezone.now())
        return Response(serializers.Progress(found).data)


class GroupReview(CoachView):
    """What the group's plans show: techniques by need, members, scrambles, weeks."""

    @extend_schema(
        operation_id="group_review",
        parameters=[serializers.ReviewAsked],
        responses={
            200: serializers.Review,
            400: problem("A filter cannot be used; see errors."),
            **COACHES,
        },
    )
    def get(self, request: Request, slug: str) -> Response:
        form = serializers.ReviewAsked(data=request.query_params)
        form.is_valid(raise_exception=True)
        found = group_review(
            self.membership, timezone.now(), most_scrambles=None, **form.validated_data
        )
        if found.group and found.group not in found.groups:
            raise Sealed
        return Response(serializers.Review(found).data)
