"""Weekly challenges, and questions to the coaches."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

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
    groups_named,
    refused,
)
from training.clock import Window
from training.models import Scope
from training.rights import require_coach
from training.rules import Sight
from training.selectors.challenge_views import challenge_view
from training.selectors.challenges import challenge_for, challenges_of
from training.selectors.plans import scramble_for, scramble_row
from training.selectors.questions import (
    own_questions,
    question_for,
    questions_to_answer,
    view_of,
)
from training.services import challenges, confirming, questions

LATER = refused({409: "The state does not allow it: it says what it waits for."})
WRONG = refused({400: "An entry is missing or cannot be used; see errors."})


class Challenges(ClubView):
    """The announced challenges, the one that opens last at the head; coaches announce one."""

    scope_to_write = Scope.COACH_WRITE

    @extend_schema(
        operation_id="challenges",
        parameters=IN_PAGES,
        responses={200: shapes.ChallengeHead(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str) -> Response:
        found = challenges_of(self.membership, timezone.now(), count=1000)
        return in_pages(request, found, shapes.ChallengeHead)

    @extend_schema(
        operation_id="announce_challenge",
        request=shapes.Announce,
        responses={201: shapes.ChallengeView, **OF_COACHES, **SENDING, **WRONG},
    )
    def post(self, request: Request, slug: str) -> Response:
        require_coach(self.membership)
        form = shapes.Announce(data=request.data)
        form.is_valid(raise_exception=True)
        entered: dict[str, Any] = dict(form.validated_data)
        club, now = self.membership.club, timezone.now()
        rules = replace(
            club.rules,
            colours=tuple(entered.get("colours") or club.colours),
            answers_to=entered["answers_to"],
            table_to=Sight.CLOSING.value,
            best_sets_counted=None,
            timing=entered.get("timing", club.timing),
            held=entered.get("held", club.held),
        )
        made = challenges.announce(
            club=club,
            rules=rules,
            window=Window(entered["opens_at"], entered["closes_at"]),
            scrambles=entered["scrambles"],
            by=self.membership,
            name=entered["name"],
            question_hours=entered["question_hours"],
            groups=groups_named(self.membership, entered.get("groups", ())),
            now=now,
        )
        found = challenge_view(self.membership, made.pk, now)
        return Response(shapes.ChallengeView.out(found), status=status.HTTP_201_CREATED)


class OneChallenge(ClubView):
    """One challenge: where it stands, its result, what you asked about it."""

    scope_to_write = Scope.COACH_WRITE

    @extend_schema(
        operation_id="challenge",
        parameters=[shapes.OfGroupAsked],
        responses={200: shapes.ChallengeView, **OF_CLUB, **WRONG},
    )
    def get(self, request: Request, slug: str, challenge_id: int) -> Response:
        now = timezone.now()
        group = group_of_table(self.membership, request, now)
        found = challenge_view(self.membership, challenge_id, now, group)
        return Response(shapes.ChallengeView.out(found))

    @extend_schema(
        operation_id="call_off_challenge",
        responses={204: None, **OF_COACHES, **LATER},
    )
    def delete(self, request: Request, slug: str, challenge_id: int) -> Response:
        """A coach takes an announced one back, as long as it has not opened."""
        require_coach(self.membership)
        now = timezone.now()
        challenge = challenge_for(self.membership, challenge_id, now)
        challenges.call_off(challenge=challenge, by=self.membership, now=now)
        return Response(status=status.HTTP_204_NO_CONTENT)


class Confirming(CoachView):
    """Let a result stand, as it is now; once more after corrections."""

    @extend_schema(
        operation_id="confirm_challenge",
        request=None,
        responses={201: shapes.ChallengeView, **OF_COACHES, **LATER},
    )
    def post(self, request: Request, slug: str, challenge_id: int) -> Response:
        now = timezone.now()
        challenge = challenge_for(self.membership, challenge_id, now)
        confirming.confirm(challenge=challenge, by=self.membership, now=now)
        found = challenge_view(self.membership, challenge_id, now)
        return Response(shapes.ChallengeView.out(found), status=status.HTTP_201_CREATED)


class OwnQuestions(ClubView):
    """What you asked about a scramble or your plan for it, and what was answered."""

    @extend_schema(
        operation_id="own_questions",
        parameters=IN_PAGES,
        responses={200: shapes.Question(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str, set_id: int, number: int) -> Response:
        now = timezone.now()
        scramble_for(self.membership, set_id, number, now)
        found = own_questions(self.membership, now, set_id=set_id, number=number)
        return in_pages(request, found, shapes.Question)

    @extend_schema(
        operation_id="ask",
        request=shapes.Ask,
        responses={201: shapes.Question, **OF_CLUB, **SENDING, **WRONG, **LATER},
    )
    def post(self, request: Request, slug: str, set_id: int, number: int) -> Response:
        now = timezone.now()
        scramble = scramble_row(self.membership, set_id, number, now)
        form = shapes.Ask(data=request.data)
        form.is_valid(raise_exception=True)
        made = questions.ask(
            by=self.membership, scramble=scramble, words=form.validated_data["words"], now=now
        )
        return Response(shapes.Question.out(view_of(made)), status=status.HTTP_201_CREATED)


class Questions(CoachView):
    """The questions that wait for an answer, the oldest at the head."""

    @extend_schema(
        operation_id="questions",
        parameters=IN_PAGES,
        responses={200: shapes.Question(many=True), **OF_COACHES},
    )
    def get(self, request: Request, slug: str) -> Response:
        found = questions_to_answer(self.membership, timezone.now())
        return in_pages(request, found, shapes.Question)


class Answering(CoachView):
    """Answer a question; a correction that it carries is made at once, or neither is."""

    @extend_schema(
        operation_id="answer_question",
        request=shapes.Answer,
        responses={200: shapes.Question, **OF_COACHES, **SENDING, **WRONG, **LATER},
    )
    def post(self, request: Request, slug: str, question_id: int) -> Response:
        now = timezone.now()
        question = question_for(self.membership, question_id, now)
        form = shapes.Answer(data=request.data)
        form.is_valid(raise_exception=True)
        entered = form.validated_data
        answered = questions.answer(
            question=question,
            by=self.membership,
            words=entered["answer"],
            correction=entered.get("correction", ""),
            reason=entered.get("reason", ""),
            now=now,
        )
        return Response(shapes.Question.out(view_of(answered)))
