"""Posts of challenges: read by the club, made by coaches, opened to all by an owner."""

from __future__ import annotations

from django.urls import reverse
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.paging import IN_PAGES, in_pages
from training.api.serializers import posts as shapes
from training.api.views.base import OF_CLUB, OF_COACHES, SENDING, ClubView, CoachView, refused
from training.api.views.hooks import OF_OWNERS, OwnerView
from training.models import Post, PublicAddress, Scope
from training.rights import require_coach
from training.selectors.challenge_results import newest_confirmation
from training.selectors.challenges import challenge_for
from training.selectors.posts import post_for, post_views, posts_for, public_address_of
from training.selectors.worth_a_word import suggestions
from training.services import posting

LATER = refused({409: "It is not confirmed yet."})
WRONG = refused({400: "An entry is missing or cannot be used; see errors."})


class Posts(ClubView):
    """The posts that you may read, newest first, with names as the club reads them."""

    @extend_schema(
        operation_id="posts",
        parameters=IN_PAGES,
        responses={200: shapes.Post(many=True), **OF_CLUB},
    )
    def get(self, request: Request, slug: str) -> Response:
        found = posts_for(self.membership, timezone.now())
        return in_pages(request, post_views(found, outside=False), shapes.Post)


class PostOfChallenge(ClubView):
    """The post of one challenge; a coach makes it, or makes it anew with other words."""

    scope_to_write = Scope.COACH_WRITE

    @extend_schema(operation_id="post", responses={200: shapes.Post, **OF_CLUB})
    def get(self, request: Request, slug: str, challenge_id: int) -> Response:
        found = post_for(self.membership, challenge_id, timezone.now())
        return Response(_shown(found))

    @extend_schema(
        operation_id="make_post",
        request=shapes.MakePost,
        responses={201: shapes.Post, **OF_COACHES, **SENDING, **WRONG, **LATER},
    )
    def post(self, request: Request, slug: str, challenge_id: int) -> Response:
        require_coach(self.membership)
        now = timezone.now()
        challenge = challenge_for(self.membership, challenge_id, now)
        form = shapes.MakePost(data=request.data)
        form.is_valid(raise_exception=True)
        words = form.validated_data["words"]
        posting.post(challenge=challenge, by=self.membership, words=words, now=now)
        found = post_for(self.membership, challenge_id, now)
        return Response(_shown(found), status=status.HTTP_201_CREATED)


class WordsOfChallenge(CoachView):
    """What of a confirmed challenge is worth a word, with its evidence; empty before."""

    @extend_schema(
        operation_id="worth_a_word",
        parameters=IN_PAGES,
        responses={200: shapes.Suggestion(many=True), **OF_COACHES},
    )
    def get(self, request: Request, slug: str, challenge_id: int) -> Response:
        now = timezone.now()
        challenge = challenge_for(self.membership, challenge_id, now)
        confirmation = newest_confirmation(challenge)
        found = suggestions(self.membership, challenge, confirmation, now) if confirmation else []
        return in_pages(request, found, shapes.Suggestion)


class AddressOfPosts(OwnerView):
    """Where everybody who has the address reads the posts: for the owners of the club."""

    @extend_schema(
        operation_id="public_address", responses={200: shapes.PublicAddress, **OF_OWNERS}
    )
    def get(self, request: Request, slug: str) -> Response:
        return Response(_address(request, public_address_of(self.membership.club)))

    @extend_schema(
        operation_id="publish_posts",
        request=None,
        responses={201: shapes.PublicAddress, **OF_OWNERS},
    )
    def post(self, request: Request, slug: str) -> Response:
        """Opens the posts to all; done again, the earlier address leads nowhere."""
        made = posting.publish(club=self.membership.club, by=self.membership, now=timezone.now())
        return Response(_address(request, made), status=status.HTTP_201_CREATED)

    @extend_schema(operation_id="unpublish_posts", responses={204: None, **OF_OWNERS})
    def delete(self, request: Request, slug: str) -> Response:
        """Nobody outside the club reads the posts any more."""
        posting.unpublish(club=self.membership.club, by=self.membership)
        return Response(status=status.HTTP_204_NO_CONTENT)


def _shown(post: Post) -> dict[str, object]:
    return shapes.Post.out(post_views([post], outside=False)[0])


def _address(request: Request, found: PublicAddress | None) -> dict[str, str | None]:
    if found is None:
        return {"page": None, "feed": None}
    return {
        name: request.build_absolute_uri(reverse(place, args=[found.secret]))
        for name, place in (("page", "public_posts"), ("feed", "public_feed"))
    }
