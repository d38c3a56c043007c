"""A post laid out as it may be read where it stands: its title, its lines, its words; as text."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from training import clock
from training.selectors.posts import PostView
from training.selectors.set_heads import challenge_title
from training.web.parts.result import ResultTable, result_row, result_table
from training.web.saying.challenges import rules_words, worth_words
from training.web.saying.counting import count
from training.web.saying.times import say_date

LINES_OF_TEXT = 10
"""So many lines a text and a picture have; the page and the sheet have all."""


@dataclass(frozen=True, slots=True)
class PostedShown:
    """What ``parts/posted.html`` needs. ``of``: club, day and season in a line."""

    title: str
    club: str
    of: str
    result: ResultTable
    words: tuple[str, ...]
    rules: str


def show_posted(post: PostView, now: datetime, zone: ZoneInfo) -> PostedShown:
    """Lay out a post."""
    rows = (result_row(one.rank, one.member, one.score) for one in post.lines)
    return PostedShown(
        title=challenge_title(post.name, post.number),
        club=post.club,
        of=_of(post, now, zone),
        result=result_table(rows, _("The result")),
        words=tuple(worth_words(one.kind, one.member, one.figures) for one in post.words),
        rules=rules_words(post.rules),
    )


def _of(post: PostView, now: datetime, zone: ZoneInfo) -> str:
    day = say_date(clock.closing_day(post.closes_at, zone), clock.local_date(now, zone))
    parts = [post.club, post.season, day]
    return " · ".join(one for one in parts if one)


def text_of(post: PostView, now: datetime, zone: ZoneInfo) -> str:
    """A post as plain text, to be copied into a chat or a mail."""
    lines = [f"{challenge_title(post.name, post.number)}: {_of(post, now, zone)}", ""]
    for one in post.lines[:LINES_OF_TEXT]:
        lines.append(
            _("{rank}. {member}: {moves} over, {exact} exact").format(
                rank=one.rank,
                member=one.member,
                moves=count(one.score.points, "move"),
                exact=one.score.exact,
            )
        )
    more = len(post.lines) - LINES_OF_TEXT
    if more > 0:
        lines.append(_("… and {members} more.").format(members=count(more, "member")))
    if post.words:
        lines += ["", _("Worth a word")]
        lines += [worth_words(one.kind, one.member, one.figures) for one in post.words]
    return "\n".join(lines)
