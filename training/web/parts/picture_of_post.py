"""A post as a picture, which whoever gets it keeps as a file."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django.http import HttpResponse
from django.utils.translation import gettext as _

from training.selectors.posts import PostView
from training.web.parts.posted import LINES_OF_TEXT, show_posted
from training.web.pictures.score_card import drawn, score_card


def as_picture(post: PostView, now: datetime, zone: ZoneInfo) -> HttpResponse:
    """The picture as a file to keep; it names nobody who is not named outside the club."""
    shown = show_posted(post, now, zone)
    card = score_card(
        shown.title,
        shown.of,
        _("moves over"),
        [(row.rank, row.member, row.total) for row in shown.result.rows[:LINES_OF_TEXT]],
        shown.words,
    )
    answer = HttpResponse(drawn(card), content_type="image/svg+xml; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="challenge-{post.number}.svg"'
    answer["X-Robots-Tag"] = "noindex"
    return answer
