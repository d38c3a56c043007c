"""A coach posts a challenge here, and takes its forms that leave the club."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from training.models import Challenge, Membership
from training.refusals import Refusal
from training.selectors.challenge_results import newest_confirmation
from training.selectors.challenges import challenge_for, reached_by
from training.selectors.posts import PostView, post_of, post_views
from training.selectors.set_heads import challenge_title
from training.selectors.worth_a_word import suggestions
from training.services import posting
from training.services.confirming import settle
from training.visibility import Sealed
from training.web.admission import coach, right_now
from training.web.pages.challenge_post.forms import WordsForm
from training.web.parts.picture_of_post import as_picture
from training.web.parts.posted import PostedShown, show_posted, text_of
from training.web.saying.challenges import worth_words


@dataclass(frozen=True, slots=True)
class PostPageShown:
    """What ``pages/challenge_post/post.html`` needs; ``text`` is empty before it is posted."""

    title: str
    back_href: str
    suggested: bool
    text: str
    sheet_href: str
    picture_href: str


def _found(viewer: Membership, challenge_id: int) -> Challenge:
    """A challenge whose result stands. Raises Sealed."""
    found = challenge_for(viewer, challenge_id, right_now())
    if reached_by(found, right_now()).confirmed_at is None:
        raise Sealed
    return found


def _posted(viewer: Membership, challenge_id: int) -> PostView:
    """A post with the names as they may leave the club. Raises Sealed before there is one."""
    post = post_of(_found(viewer, challenge_id).pk)
    if post is None:
        raise Sealed
    return post_views([post], outside=True)[0]


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def challenge_post(request: HttpRequest, viewer: Membership, challenge_id: int) -> HttpResponse:
    """Choose what is worth a word and post; afterwards the text, the sheet and the picture."""
    now, status = right_now(), 200
    challenge = _found(viewer, challenge_id)
    if request.method == "POST":
        settle(set_id=challenge.scramble_set_id, now=now)
    confirmation = newest_confirmation(challenge)
    found = suggestions(viewer, challenge, confirmation, now) if confirmation else []
    post = post_of(challenge.pk)
    kept = {(one.kind, one.membership_id) for one in post.words.all()} if post else set()
    form = WordsForm(
        request.POST if request.method == "POST" else None,
        suggested=[(one.key, worth_words(one.kind, one.member, one.figures)) for one in found],
        chosen=[one.key for one in found if (one.kind, one.membership_id) in kept],
    )
    if request.method == "POST":
        status = 400
        try:
            if form.is_valid():
                words = form.cleaned_data["words"]
                posting.post(challenge=challenge, by=viewer, words=words, now=now)
                messages.success(request, _("Posted. The club reads it on the challenge’s page."))
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            status = refusal.status
            form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
    args = [viewer.club.slug, challenge.pk]
    shown = PostPageShown(
        title=challenge_title(challenge.name, challenge.number),
        back_href=reverse("challenge", args=args),
        suggested=bool(found),
        text=text_of(post_views([post], outside=True)[0], now, viewer.club.zone) if post else "",
        sheet_href=reverse("challenge_sheet", args=args),
        picture_href=reverse("challenge_picture", args=args),
    )
    context = {"shown": shown, "form": form}
    return render(request, "pages/challenge_post/post.html", context, status=status)


@require_safe
@coach
def challenge_sheet(request: HttpRequest, viewer: Membership, challenge_id: int) -> HttpResponse:
    """A sheet to print and pin up."""
    post = _posted(viewer, challenge_id)
    posted: PostedShown = show_posted(post, right_now(), viewer.club.zone)
    return render(request, "pages/challenge_post/sheet.html", {"posted": posted})


@require_safe
@coach
def challenge_picture(request: HttpRequest, viewer: Membership, challenge_id: int) -> HttpResponse:
    """A picture to send on."""
    return as_picture(_posted(viewer, challenge_id), right_now(), viewer.club.zone)
