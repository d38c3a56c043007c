"""All that the page of a challenge tells its viewer, as one value."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from training import ranking, visibility
from training.challenge_states import Stage
from training.models import (
    Challenge,
    Group,
    GroupTime,
    Membership,
    Plan,
    Scramble,
    ScrambleSet,
)
from training.selectors.challenge_results import (
    ConfirmedResult,
    ResultLine,
    confirmed_result,
    live_lines,
    newest_confirmation,
)
from training.selectors.challenges import ChallengeHead, challenge_for, heads_of
from training.selectors.corrections import CorrectionNote, notes_of
from training.selectors.own_windows import windows_to_come
from training.selectors.posts import PostedWord, post_of, post_views
from training.selectors.questions import QuestionView, own_questions
from training.selectors.table_rows import Unranked, name_of
from training.visibility import OwnPlans


@dataclass(frozen=True, slots=True)
class ChallengeView:
    """A challenge for one viewer.

    ``lines``: as confirmed, else as it counts now; empty while the table is not
    ``table_open`` to the viewer; of a ``group``'s own table its members alone, ranked
    among themselves. ``so_far``: it can still move by itself.
    ``opens_for_you_at``: when a window of the viewer's own begins; it is sealed until then.
    ``own``: the viewer's line, None without one. ``to_plan``: numbers of crosses
    that the viewer may still plan; ``planned``: those with a plan.
    ``result``: the confirmed one with its rules; ``words``: what the post tells.
    """

    head: ChallengeHead
    table_open: bool
    so_far: bool
    lines: tuple[ResultLine, ...]
    own: ResultLine | None
    to_plan: tuple[int, ...]
    planned: tuple[int, ...]
    numbers: tuple[int, ...]
    result: ConfirmedResult | None
    words: tuple[PostedWord, ...]
    questions: tuple[QuestionView, ...]
    corrections: tuple[CorrectionNote, ...]
    group: str = ""
    opens_for_you_at: datetime | None = None


def challenge_view(
    viewer: Membership, challenge_id: int, now: datetime, group: Group | None = None
) -> ChallengeView:
    """Raises Sealed for what is not announced to the viewer. A constant number of queries."""
    challenge = challenge_for(viewer, challenge_id, now)
    head = heads_of(viewer, [challenge], now)[0]
    shown = ChallengeView(
        head, False, False, (), None, (), (), (), None, words=(), questions=(), corrections=()
    )
    if Stage(head.stage) in {Stage.NOT_YET, Stage.ANNOUNCED}:
        return shown
    of_set = challenge.scramble_set
    if not visibility.sees_set(viewer, of_set, now):
        own_window = (one for one in windows_to_come(viewer, now) if one.set_id == of_set.pk)
        begins = next((one.opens_at for one in own_window), None)
        return replace(shown, opens_for_you_at=begins)
    own = _own_plans(viewer, challenge)
    may_plan = Stage(head.stage) == Stage.OPEN
    shown = replace(
        shown,
        table_open=visibility.sees_table(viewer, of_set, own, now),
        to_plan=tuple(sorted(own.counting - own.numbers)) if may_plan else (),
        planned=tuple(sorted(own.numbers)),
        numbers=tuple(sorted(own.counting)),
        questions=tuple(own_questions(viewer, now, set_id=of_set.pk)),
        corrections=tuple(notes_of([of_set.pk])),
    )
    if not shown.table_open:
        return shown
    shown = _with_result(viewer, challenge, shown, now)
    return shown if group is None else _of_group(shown, of_set, group)


def _of_group(shown: ChallengeView, of_set: ScrambleSet, group: Group) -> ChallengeView:
    """The lines of those who belonged to a group all the while that the set was open."""
    belong = {
        one.membership_id
        for one in GroupTime.objects.filter(group=group)
        if one.holds(of_set.opens_at, of_set.due_at)
    }
    lines = [one for one in shown.lines if one.membership_id in belong]
    ranks = ranking.ranks([one.score.order for one in lines])
    ranked = (replace(one, rank=rank) for rank, one in zip(ranks, lines, strict=True))
    return replace(
        shown,
        lines=tuple(sorted(ranked, key=lambda line: (line.rank, line.member.casefold()))),
        group=group.name,
    )


def _own_plans(viewer: Membership, challenge: Challenge) -> OwnPlans:
    of_set = challenge.scramble_set_id
    counting = Scramble.objects.filter(scramble_set=of_set, void=False)
    planned = Plan.objects.filter(membership=viewer, scramble__scramble_set=of_set)
    return OwnPlans(
        frozenset(planned.order_by().values_list("scramble__number", flat=True)),
        frozenset(counting.order_by().values_list("number", flat=True)),
    )


def _with_result(
    viewer: Membership, challenge: Challenge, shown: ChallengeView, now: datetime
) -> ChallengeView:
    live = live_lines(challenge.scramble_set, now)
    confirmation = newest_confirmation(challenge)
    result = None
    if confirmation is not None:
        scores = ((one.person.pk, one.score) for _rank, one in live)
        result = confirmed_result(confirmation, viewer.pk, scores)
    lines = result.lines if result is not None else _lines(viewer, live)
    post = post_of(challenge.pk)
    return replace(
        shown,
        lines=lines,
        so_far=result is None and shown.head.stage in {Stage.OPEN, Stage.CHECKING},
        own=next((one for one in lines if one.own), None),
        result=result,
        words=post_views([post], outside=False)[0].words if post is not None else (),
    )


def _lines(viewer: Membership, live: Sequence[tuple[int, Unranked]]) -> tuple[ResultLine, ...]:
    found = (
        ResultLine(
            rank=rank,
            membership_id=one.person.pk,
            member=name_of(one.person),
            own=one.person.pk == viewer.pk,
            score=one.score,
        )
        for rank, one in live
    )
    return tuple(sorted(found, key=lambda line: (line.rank, line.member.casefold())))
