"""The result of a challenge: as it would be now, as it was confirmed, and where the two differ."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from training import ranking
from training.models import Challenge, Confirmation, ConfirmedLine, ScrambleSet, Season
from training.ranking import Score
from training.selectors.table_rows import Unranked, name_of
from training.selectors.tables import set_lines


@dataclass(frozen=True, slots=True)
class ResultLine:
    """One member's line. ``now``: points by what was corrected since, None where they are equal."""

    rank: int
    membership_id: int
    member: str
    own: bool
    score: Score
    late: bool = False
    sets: int = 1
    now: int | None = None


@dataclass(frozen=True, slots=True)
class ConfirmedResult:
    """A result that stands, with the rules it was made by. ``by``: empty when by itself.

    ``differs``: corrections since have changed what it would be now.
    """

    confirmed_at: datetime
    by: str
    by_itself: bool
    own_table: bool
    turn: int
    rules: dict[str, object]
    lines: tuple[ResultLine, ...]
    differs: bool


def live_lines(scramble_set: ScrambleSet, now: datetime) -> list[tuple[int, Unranked]]:
    """Ranks and lines of a closed set as it counts now, the best first."""
    lines = [one for one in set_lines(scramble_set, now) if not one.outside and one.begun]
    ranks = ranking.ranks([one.score.order for one in lines])
    return sorted(zip(ranks, lines, strict=True), key=lambda pair: pair[0])


def newest_confirmation(thing: Challenge | Season) -> Confirmation | None:
    """The confirmation that stands of a challenge or a season. One query."""
    return thing.confirmations.select_related("by").order_by("-turn").first()


def confirmed_result(
    confirmation: Confirmation, own: int, live: Iterable[tuple[int, Score]] | None
) -> ConfirmedResult:
    """A result that stands, beside what it would be now. One query.

    ``own``: the membership that reads it; ``live``: membership and score as of
    now, None where nobody compares.
    """
    rows = ConfirmedLine.objects.filter(confirmation=confirmation).select_related("membership")
    lives = None if live is None else dict(live)
    lines = []
    for row in rows:
        score = score_of(row)
        live_score = lives.get(row.membership_id) if lives is not None else score
        same = live_score is not None and live_score == score
        lines.append(
            ResultLine(
                rank=row.rank,
                membership_id=row.membership_id,
                member=name_of(row.membership),
                own=row.membership_id == own,
                score=score,
                late=row.late,
                sets=row.sets,
                now=None if same or live_score is None else live_score.points,
            )
        )
    known = {one.membership_id: one.score for one in lines}
    return ConfirmedResult(
        confirmed_at=confirmation.confirmed_at,
        by=confirmation.by.display_name if confirmation.by is not None else "",
        by_itself=bool(confirmation.rules.get("by_itself")),
        own_table=confirmation.own_table,
        turn=confirmation.turn,
        rules=confirmation.rules,
        lines=tuple(sorted(lines, key=lambda e: (e.late, e.rank, e.member.casefold()))),
        differs=lives is not None and lives != known,
    )


def score_of(row: ConfirmedLine) -> Score:
    """The score in a line that was confirmed."""
    return Score(row.points, row.solved, row.exact, row.crosses)


def confirmed_scores(set_ids: Iterable[int]) -> dict[int, dict[int, Score]]:
    """By set and membership, what stands of those challenges that are confirmed. Two queries."""
    newest: dict[int, tuple[int, int]] = {}
    rows = Confirmation.objects.filter(challenge__scramble_set__in=list(set_ids)).order_by("turn")
    for set_id, pk in rows.values_list("challenge__scramble_set_id", "pk"):
        newest[set_id] = (pk, set_id)
    of_confirmation = dict(newest.values())
    found: dict[int, dict[int, Score]] = defaultdict(dict)
    for one in ConfirmedLine.objects.filter(confirmation__in=of_confirmation).order_by():
        found[of_confirmation[one.confirmation_id]][one.membership_id] = score_of(one)
    for set_id in newest:
        found.setdefault(set_id, {})
    return dict(found)
