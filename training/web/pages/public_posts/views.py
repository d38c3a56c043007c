"""The posts of a club at an address that nobody guesses, where its owner has made one."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.feedgenerator import Atom1Feed
from django.utils.html import linebreaks
from django.utils.translation import get_language, override
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from training.models import Club
from training.selectors.posts import PostView, club_at, post_views, posts_of
from training.selectors.set_heads import challenge_title
from training.visibility import Sealed
from training.web.admission import right_now
from training.web.parts.picture_of_post import as_picture
from training.web.parts.posted import PostedShown, show_posted, text_of


@dataclass(frozen=True, slots=True)
class PublicPost:
    """A post with where its picture is; ``anchor``: its place on the page."""

    posted: PostedShown
    anchor: str
    picture_href: str


@dataclass(frozen=True, slots=True)
class PublicShown:
    """What ``pages/public_posts/posts.html`` needs."""

    club: str
    feed_href: str
    posts: tuple[PublicPost, ...]


def _posts(secret: str) -> tuple[Club, list[PostView]]:
    """The posts with names as they may leave the club. Raises Http404 for any other address."""
    try:
        club = club_at(secret)
    except Sealed:
        raise Http404 from None
    return club, post_views(posts_of(club), outside=True)


@require_safe
def public_posts(request: HttpRequest, secret: str) -> HttpResponse:
    """All posts, the newest at the head."""
    club, posts = _posts(secret)
    with override(club.language or get_language()):
        shown = PublicShown(
            club=club.name,
            feed_href=reverse("public_feed", args=[secret]),
            posts=tuple(
                PublicPost(
                    posted=show_posted(one, right_now(), club.zone),
                    anchor=f"post-{one.id}",
                    picture_href=reverse("public_picture", args=[secret, one.id]),
                )
                for one in posts
            ),
        )
        answer = render(request, "pages/public_posts/posts.html", {"shown": shown})
    return _unlisted(answer)


@require_safe
def public_picture(request: HttpRequest, secret: str, post_id: int) -> HttpResponse:
    """One of them as a picture."""
    club, posts = _posts(secret)
    found = next((one for one in posts if one.id == post_id), None)
    if found is None:
        raise Http404
    return as_picture(found, right_now(), club.zone)


@require_safe
def public_feed(request: HttpRequest, secret: str) -> HttpResponse:
    """The posts as an Atom feed (RFC 4287)."""
    club, posts = _posts(secret)
    page = request.build_absolute_uri(reverse("public_posts", args=[secret]))
    feed = Atom1Feed(
        title=_("Challenges of {club}").format(club=club.name),
        link=page,
        description="",
        language=club.language or "en",
        feed_url=request.build_absolute_uri(),
        author_name=club.name,
    )
    for one in posts:
        link = f"{page}#post-{one.id}"
        feed.add_item(
            title=challenge_title(one.name, one.number),
            link=link,
            # Readers take it as HTML, in which names must not be markup.
            description=linebreaks(text_of(one, right_now(), club.zone), autoescape=True),
            unique_id=link,
            pubdate=one.posted_at,
            updateddate=one.posted_at,
        )
    answer = HttpResponse(content_type="application/atom+xml; charset=utf-8")
    feed.write(answer, "utf-8")
    return _unlisted(answer)


def _unlisted(answer: HttpResponse) -> HttpResponse:
    """Not for search engines, and told to no page that somebody goes on to."""
    answer["X-Robots-Tag"] = "noindex, nofollow"
    answer["Referrer-Policy"] = "no-referrer"
    answer["Cache-Control"] = "private, no-store"
    return answer
