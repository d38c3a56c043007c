"""Reviews: one's own, a member's for a coach, the group's for a coach."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.serializers import group_reviews as of_group
from training.api.serializers import reviews as of_member
from training.api.views.base import OF_CLUB, OF_COACHES, ClubView, CoachView, refused
from training.selectors.group_reviews import group_review
from training.selectors.reviews import review_for
from training.visibility import Sealed


class OwnProgress(ClubView):
    """What your own plans show. Nobody sees it but you and the coaches."""

    @extend_schema(operation_id="progress", responses={200: of_member.MemberReview, **OF_CLUB})
    def get(self, request: Request, slug: str) -> Response:
        found = review_for(self.membership, self.membership.pk, timezone.now())
        return Response(of_member.MemberReview(found).data)


class MemberProgress(CoachView):
    """What one member's plans show."""

    @extend_schema(
        operation_id="member_progress", responses={200: of_member.MemberReview, **OF_COACHES}
    )
    def get(self, request: Request, slug: str, membership_id: int) -> Response:
        found = review_for(self.membership, membership_id, timezone.now())
        return Response(of_member.MemberReview(found).data)


class GroupReview(CoachView):
    """What the group's plans show: techniques by need, members, scrambles, weeks."""

    @extend_schema(
        operation_id="group_review",
        parameters=[of_group.ReviewAsked],
        responses={
            200: of_group.GroupReview,
            **OF_COACHES,
            **refused({400: "A filter cannot be used; see errors."}),
        },
    )
    def get(self, request: Request, slug: str) -> Response:
        form = of_group.ReviewAsked(data=request.query_params)
        form.is_valid(raise_exception=True)
        found = group_review(
            self.membership, timezone.now(), most_scrambles=None, **form.validated_data
        )
        if found.group and found.group not in found.groups:
            raise Sealed
        return Response(of_group.GroupReview(found).data)
