"""A challenge laid out: where it stands and what to do, the result, what was asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.urls import reverse
from django.utils.translation import gettext as _

from training.challenge_states import Stage
from training.models import Membership
from training.policies import counts_from_now_on
from training.selectors.challenge_views import ChallengeView
from training.selectors.set_heads import challenge_title
from training.visibility import sees_group
from training.web.navigation import Link
from training.web.parts.asked import AskedShown, show_asked
from training.web.parts.result import ResultTable, result_row, result_table
from training.web.parts.whose_table import GroupTab, WhoseTable, group_links, group_rule
from training.web.saying.challenges import (
    StepSaid,
    about_words,
    place_words,
    rules_words,
    stage_words,
    steps_of,
    worth_words,
)
from training.web.saying.corrections import note_words
from training.web.saying.counting import count
from training.web.saying.times import say


@dataclass(frozen=True, slots=True)
class ChallengeShown:
    """What ``pages/challenge/challenge.html`` needs.

    ``said``: where it stands; ``steps``: on the way; ``do``: what the viewer may do now, in
    words, with ``do_href`` where that is. ``result`` is None while there is none to read, and
    ``closed_table`` says why. ``notes``: corrections; ``stands``: since when the result does.
    ``ask``: the scrambles to ask about. The rest is for coaches.
    """

    id: int
    title: str
    about: str
    said: str
    steps: tuple[StepSaid, ...]
    place: str
    do: str
    do_href: str
    set_href: str
    result: ResultTable | None
    so_far: bool
    closed_table: str
    notes: tuple[str, ...]
    stands: str
    rules: str
    differs: bool
    words: tuple[str, ...]
    ask: tuple[Link, ...]
    asked: tuple[AskedShown, ...]
    season_href: str
    season: str
    coaches: bool
    may_confirm: bool
    confirm_hint: str
    may_call_off: bool
    questions_href: str
    plans_href: str
    post_href: str
    whose: tuple[GroupTab, ...]


def show_challenge(
    viewer: Membership, view: ChallengeView, whose: WhoseTable, now: datetime
) -> ChallengeShown:
    """Lay out a challenge for a member or a coach."""
    head, slug, zone = view.head, viewer.club.slug, viewer.club.zone
    coaches, stage = sees_group(viewer), Stage(head.stage)
    opened = stage not in {Stage.NOT_YET, Stage.ANNOUNCED} and view.opens_for_you_at is None
    do, do_href = _to_do(viewer, view, coaches)
    asks = stage in {Stage.CHECKING, Stage.QUESTIONS} and bool(view.planned)
    return ChallengeShown(
        id=head.id,
        title=challenge_title(head.name, head.number),
        about=about_words(head),
        said=stage_words(head, now, zone),
        steps=steps_of(stage),
        place=_place(view, stage, now, zone),
        do=do,
        do_href=do_href,
        set_href=reverse("set", args=[slug, head.set_id]) if opened else "",
        result=_result(view),
        so_far=view.so_far,
        closed_table=_why_closed(view, stage),
        notes=tuple(note_words(one, now, zone) for one in view.corrections),
        stands=_stands(view, now, viewer),
        rules=f"{rules_words(_rules(view))} {group_rule(whose.group)}".strip() if opened else "",
        differs=view.result is not None and view.result.differs,
        words=tuple(worth_words(one.kind, one.member, one.figures) for one in view.words),
        ask=tuple(
            Link(
                _("Scramble {number}").format(number=number),
                reverse("ask", args=[slug, head.set_id, number]),
                False,
            )
            for number in view.planned
        )
        if asks
        else (),
        asked=show_asked(view.questions, now, zone),
        season_href=reverse("season", args=[slug, head.season_id]) if head.season_id else "",
        season=head.season,
        coaches=coaches,
        may_confirm=coaches and _may_confirm(view, stage),
        confirm_hint=_confirm_hint(view, now, viewer),
        may_call_off=coaches and stage in {Stage.NOT_YET, Stage.ANNOUNCED},
        questions_href=reverse("questions", args=[slug]) if coaches else "",
        plans_href=reverse("coach_set", args=[slug, head.set_id]) if coaches and opened else "",
        post_href=reverse("challenge_post", args=[slug, head.id])
        if coaches and stage in {Stage.CONFIRMED, Stage.POSTED}
        else "",
        # Of a challenge for a group alone there is one table.
        whose=group_links(whose) if view.table_open and not head.groups else (),
    )


def _rules(view: ChallengeView) -> Mapping[str, Any]:
    return view.result.rules if view.result else {"scrambles": view.numbers}


def _to_do(viewer: Membership, view: ChallengeView, coaches: bool) -> tuple[str, str]:
    """What to do now, and where."""
    head, slug = view.head, viewer.club.slug
    stage = Stage(head.stage)
    if stage == Stage.OPEN and view.to_plan and counts_from_now_on(viewer):
        return (
            _("Plan {crosses}").format(crosses=count(len(view.to_plan), "cross")),
            reverse("scramble", args=[slug, head.set_id, view.to_plan[0]]),
        )
    if coaches and head.open_questions:
        return (
            _("Answer {questions}").format(questions=count(head.open_questions, "question")),
            reverse("questions", args=[slug]),
        )
    if coaches and stage == Stage.CONFIRMED:
        return _("Post the result"), reverse("challenge_post", args=[slug, head.id])
    if stage in {Stage.CHECKING, Stage.QUESTIONS} and view.planned:
        first = reverse("ask", args=[slug, head.set_id, view.planned[0]])
        return _("Ask about one of your plans"), "#ask" if len(view.planned) > 1 else first
    return "", ""


def _place(view: ChallengeView, stage: Stage, now: datetime, zone: ZoneInfo) -> str:
    if view.opens_for_you_at is not None:
        when = say(view.opens_for_you_at, now, zone).text
        return _("It opens for you {when}. Until then it is sealed for you.").format(when=when)
    if stage in {Stage.NOT_YET, Stage.ANNOUNCED}:
        return _("Its crosses are sealed until then. Everybody gets the same ones.")
    if stage == Stage.OPEN:
        return "" if view.to_plan else _("All your plans are in.")
    own = next((one for one in view.lines if one.own), None)
    if own is None:
        return ""
    return place_words(own.rank, own.score.points, len(view.lines), so_far=view.so_far)


def _result(view: ChallengeView) -> ResultTable | None:
    if not view.lines:
        return None
    rows = (
        result_row(one.rank, one.member, one.score, own=one.own, now=one.now) for one in view.lines
    )
    return result_table(rows, _("The result"))


def _why_closed(view: ChallengeView, stage: Stage) -> str:
    if (
        view.opens_for_you_at is not None
        or view.lines
        or stage in {Stage.NOT_YET, Stage.ANNOUNCED, Stage.OUT}
    ):
        return ""
    if view.group:
        return _("Nobody of {group} has handed in.").format(group=view.group)
    if not view.table_open:
        return _("The table opens when the challenge has closed.")
    return _("Nobody has handed in yet.")


def _stands(view: ChallengeView, now: datetime, viewer: Membership) -> str:
    result = view.result
    if result is None:
        return ""
    said_at = say(result.confirmed_at, now, viewer.club.zone)
    when = said_at.text
    if result.by_itself:
        return _("Stands since {when}, when the time for questions was over.").format(
            when=said_at.bare.text
        )
    said = _("Confirmed by {name} {when}.").format(
        name=result.by or _("a former member"), when=when
    )
    if result.own_table:
        said += " " + _("{name} is in this table: there was no other coach.").format(
            name=result.by or _("A former member")
        )
    return said


def _may_confirm(view: ChallengeView, stage: Stage) -> bool:
    if view.head.open_questions or not view.table_open:
        return False
    if stage == Stage.QUESTIONS:
        return True
    stands = stage in {Stage.CONFIRMED, Stage.POSTED}
    return stands and view.result is not None and view.result.differs


def _confirm_hint(view: ChallengeView, now: datetime, viewer: Membership) -> str:
    if Stage(view.head.stage) != Stage.QUESTIONS:
        return _("What was corrected since is taken over: the numbers of now stand then.")
    until = view.head.questions_until
    if until is None or until <= now:
        return ""
    return _("Members may ask until {when}; then it stands by itself.").format(
        when=say(until, now, viewer.club.zone).bare.text
    )
