"""The lines of a table: cells, scores, ranks, from plans already fetched."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal, NamedTuple

from training import policies, ranking
from training.models import PENDING, Membership, PlanKind, PlanStatus, ScrambleSet
from training.ranking import Mark, Score
from training.rules import CAP
from training.selectors.set_heads import SetHead

Period = Literal["day", "week", "all"]
CellState = Literal["solved", "not_solved", "no_plan", "withdrawn", "missing", "to_come", "pending"]


@dataclass(frozen=True, slots=True)
class Cell:
    """One scramble of one member. ``points`` is None where nothing is counted (yet)."""

    number: int
    state: CellState
    points: int | None
    moves: int | None = None
    best: int | None = None
    excess: int | None = None


@dataclass(frozen=True, slots=True)
class SetScore:
    """One set of one member. ``score`` is None where the set does not count for the member."""

    set_id: int
    score: Score | None


@dataclass(frozen=True, slots=True)
class Placing:
    """One line of a table. ``mean`` (points a set) stands where means are ranked.

    ``cells``: of a day and a week; the table of all time, which may be of
    thousands of plans, has none.
    """

    rank: int
    membership_id: int
    member: str
    own: bool
    score: Score
    pending: int
    sets: int
    mean: Fraction | None
    cells: tuple[Cell, ...]
    set_scores: tuple[SetScore, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table as one viewer may see it.

    ``sets`` are counted in it; ``sealed`` have opened, but their table is not
    open to this viewer yet. ``late`` are members who joined within the period,
    ranked by mean. ``to_come``: names of members of whom nothing is counted
    yet. ``so_far``: a counted set is still open or a plan is still being
    checked, so totals will move.
    """

    period: Period
    first_day: date | None
    sets: tuple[SetHead, ...]
    sealed: tuple[SetHead, ...]
    rows: tuple[Placing, ...]
    late: tuple[Placing, ...]
    to_come: tuple[str, ...]
    so_far: bool
    pending: int
    by_mean: bool
    best_sets_counted: int | None
    handed_in: int
    expected: int


class PlanFigures(NamedTuple):
    """What a table needs of one plan; the last four are None without a verdict."""

    set_id: int
    number: int
    membership_id: int
    kind: str
    status: str
    solved: bool | None
    excess: int | None
    moves: int | None
    best: int | None


@dataclass(frozen=True, slots=True)
class Counted:
    """A set that counts in the table, with how many scrambles it has."""

    row: ScrambleSet
    head: SetHead
    scrambles: int


@dataclass(frozen=True, slots=True)
class Unranked:
    """A member's line before it is ranked; ``mean_over``: the scores that a mean is taken of."""

    person: Membership
    late: bool
    pending: int
    score: Score
    mean_over: tuple[Score, ...]
    counting: int
    cells: tuple[Cell, ...]
    set_scores: tuple[SetScore, ...]

    @property
    def begun(self) -> bool:
        """Whether anything is counted or being checked."""
        return self.score.crosses > 0 or self.pending > 0


def unranked_line(
    person: Membership,
    counted: Sequence[Counted],
    plans: Sequence[PlanFigures],
    best_sets: int | None,
) -> Unranked | None:
    """A member's line, or None when no set of the period counts for the member."""
    by_set: dict[int, dict[int, PlanFigures]] = defaultdict(dict)
    for plan in plans:
        by_set[plan.set_id][plan.number] = plan
    cells: list[Cell] = []
    set_scores: list[SetScore] = []
    for one in counted:
        mine = by_set.get(one.row.pk, {})
        if not policies.counts_for(person, one.row, handed_in=bool(mine)):
            set_scores.append(SetScore(one.row.pk, None))
            continue
        of_set = [
            _cell(number, mine.get(number), one.head.has_closed)
            for number in range(1, one.scrambles + 1)
        ]
        cells += of_set
        marks = [m for m in (_mark(cell) for cell in of_set) if m is not None]
        set_scores.append(SetScore(one.row.pk, ranking.score(marks)))
    scores = [s.score for s in set_scores if s.score is not None]
    if not scores:
        return None
    closed = {one.row.pk for one in counted if one.head.has_closed}
    of_closed = [s.score for s in set_scores if s.score is not None and s.set_id in closed]
    counting = ranking.best_sets(scores, best_sets)
    return Unranked(
        person=person,
        late=len(scores) < len(set_scores),
        pending=sum(1 for cell in cells if cell.state == "pending"),
        score=ranking.total(counting),
        mean_over=tuple(of_closed or scores),
        counting=len(counting),
        cells=tuple(cells),
        set_scores=tuple(set_scores),
    )


def _cell(number: int, plan: PlanFigures | None, closed: bool) -> Cell:
    if plan is None:
        # A missing plan counts only once the set has closed.
        return Cell(number, "missing", CAP) if closed else Cell(number, "to_come", None)
    if plan.status in PENDING:
        return Cell(number, "pending", None)
    if plan.status == PlanStatus.WITHDRAWN:
        return Cell(number, "withdrawn", CAP)
    points = ranking.mark_for(plan.excess if plan.solved else None).points
    state: CellState = "solved"
    if not plan.solved:
        state = "no_plan" if plan.kind == PlanKind.NO_PLAN else "not_solved"
    return Cell(number, state, points, plan.moves, plan.best, plan.excess)


def _mark(cell: Cell) -> Mark | None:
    if cell.points is None:
        return None
    return ranking.mark_for(cell.excess) if cell.state == "solved" else ranking.UNSOLVED


def ranked(lines: Sequence[Unranked], viewer: Membership, by_mean: bool) -> tuple[Placing, ...]:
    orders = [ranking.mean_order(e.mean_over) if by_mean else e.score.order for e in lines]
    rows = [
        Placing(
            rank=rank,
            membership_id=e.person.pk,
            member=e.person.display_name,
            own=e.person.pk == viewer.pk,
            score=e.score,
            pending=e.pending,
            sets=len(e.mean_over) if by_mean else e.counting,
            mean=ranking.mean_order(e.mean_over)[0] if by_mean else None,
            cells=e.cells,
            set_scores=e.set_scores,
        )
        for rank, e in zip(ranking.ranks(orders), lines, strict=True)
    ]
    return tuple(sorted(rows, key=lambda row: (row.rank, row.member.casefold())))
