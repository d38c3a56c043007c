"""What a coach teaches next, and who improved."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.paging import IN_PAGES, in_pages
from training.api.serializers import lessons as shapes
from training.api.views.base import OF_CLUB, OF_COACHES, ClubView, CoachView
from training.selectors.habit_lessons import habit_lesson
from training.selectors.improvements import improvements
from training.selectors.lessons import lesson


class IdeaLesson(CoachView):
    """An idea as the next lesson: the evidence, models, and what changed since it was given."""

    @extend_schema(operation_id="idea_lesson", responses={200: shapes.IdeaLesson, **OF_COACHES})
    def get(self, request: Request, slug: str, code: str) -> Response:
        found = lesson(self.membership, code, timezone.now())
        return Response(shapes.IdeaLesson(found).data)


class HabitLesson(CoachView):
    """A slip, undone moves or the choice of colour as the next lesson."""

    @extend_schema(operation_id="habit_lesson", responses={200: shapes.HabitLesson, **OF_COACHES})
    def get(self, request: Request, slug: str, code: str) -> Response:
        found = habit_lesson(self.membership, code, timezone.now())
        return Response(shapes.HabitLesson(found).data)


class OwnImprovements(ClubView):
    """What you improved in of late; nothing where nothing stands out in the club."""

    @extend_schema(
        operation_id="improvements",
        parameters=IN_PAGES,
        responses={200: shapes.Improvement(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str) -> Response:
        found = improvements(self.membership, timezone.now())
        own = [one for one in found if one.membership_id == self.membership.pk]
        return in_pages(request, own, shapes.Improvement)


class ClubImprovements(CoachView):
    """Who improved of late, and in what: what stands out among all members and ideas."""

    @extend_schema(
        operation_id="coach_improvements",
        parameters=IN_PAGES,
        responses={200: shapes.Improvement(many=True), **OF_COACHES},
    )
    def get(self, request: Request, slug: str) -> Response:
        found = improvements(self.membership, timezone.now())
        return in_pages(request, found, shapes.Improvement)
