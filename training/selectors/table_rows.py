"""The lines of a table: cells, scores, ranks, from plans already fetched."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import partial
from typing import Literal, NamedTuple

from django.utils.translation import gettext as _

from training import policies, ranking
from training.models import PENDING, Membership, PlanKind, PlanStatus, ScrambleSet
from training.ranking import Mark, Score
from training.rules import CAP
from training.selectors.corrections import CorrectionNote
from training.selectors.set_heads import SetHead

Period = Literal["day", "week", "all"]
CellState = Literal[
    "solved",
    "not_solved",
    "no_plan",
    "out_of_time",
    "withdrawn",
    "missing",
    "to_come",
    "pending",
    "void",
]


@dataclass(frozen=True, slots=True)
class Cell:
    """One scramble of one member. ``points`` is None where nothing is counted (yet).

    ``plan_id``: of the plan, where there is one that the viewer may open.
    """

    set_id: int
    number: int
    state: CellState
    points: int | None
    moves: int | None = None
    best: int | None = None
    excess: int | None = None
    plan_id: int | None = None


@dataclass(frozen=True, slots=True)
class SetScore:
    """One set of one member. ``score`` is None where the set does not count for the member.

    ``outside``: what plans of such a set came to, which enters no total; None
    where there are none.
    """

    set_id: int
    score: Score | None
    outside: Score | None = None


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
class WithoutRank:
    """A line without a rank: of somebody for whom no set counts, or who is still planning."""

    membership_id: int
    member: str
    own: bool
    score: Score
    cells: tuple[Cell, ...]
    set_scores: tuple[SetScore, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table as one viewer may see it.

    ``sets`` are counted in it; ``sealed`` have opened, but their table is not
    open to this viewer yet. ``late`` are members for whom some of the sets do
    not count, ranked by mean; ``outside`` those for whom none does, who planned
    all the same. ``under_way``: while a set is open, those of whom another number
    of crosses is told than of the viewer (of all, for one who plans none): they
    have no rank yet, for whoever has planned less would lead. ``to_come``: names
    of members of whom nothing is counted yet. ``so_far``: a counted set is still
    open or a plan is still being checked, so totals will move. ``corrections``:
    those that stand of these sets; none with the table of all time.
    """

    period: Period
    first_day: date | None
    sets: tuple[SetHead, ...]
    sealed: tuple[SetHead, ...]
    rows: tuple[Placing, ...]
    late: tuple[Placing, ...]
    under_way: tuple[WithoutRank, ...]
    outside: tuple[WithoutRank, ...]
    to_come: tuple[str, ...]
    so_far: bool
    pending: int
    by_mean: bool
    best_sets_counted: int | None
    handed_in: int
    expected: int
    corrections: tuple[CorrectionNote, ...]


class PlanFigures(NamedTuple):
    """What a table needs of one plan; the last four are None without a verdict."""

    id: int
    set_id: int
    number: int
    membership_id: int
    kind: str
    status: str
    out_of_time: bool
    solved: bool | None
    excess: int | None
    moves: int | None
    best: int | None


@dataclass(frozen=True, slots=True)
class Counted:
    """A set that counts in the table, with the numbers of its scrambles.

    ``void``: those of them that count for nobody; ``plans_open``: the viewer may read everybody's
    plans of it.
    """

    row: ScrambleSet
    head: SetHead
    numbers: tuple[int, ...]
    void: frozenset[int] = frozenset()
    plans_open: bool = False


@dataclass(frozen=True, slots=True)
class Unranked:
    """A member's line before it is ranked; ``mean_over``: the scores that a mean is taken of.

    ``outside``: no set of the period counts for the member; then nothing of it is ranked.
    """

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

    @property
    def outside(self) -> bool:
        return not self.mean_over

    @property
    def told(self) -> int:
        """Of how many crosses something is told: in, withdrawn, or missing for good."""
        return sum(cell.state not in ("to_come", "void") for cell in self.cells)


def unranked_line(
    person: Membership,
    counted: Sequence[Counted],
    plans: Sequence[PlanFigures],
    inside: Container[int],
    best_sets: int | None,
    *,
    own: bool = False,
) -> Unranked | None:
    """A member's line; ``inside``: the sets that count for the member; ``own``: the viewer's.

    None when none of these does and none was planned.
    """
    by_set: dict[int, dict[int, PlanFigures]] = defaultdict(dict)
    for plan in plans:
        by_set[plan.set_id][plan.number] = plan
    cells: list[Cell] = []
    outside_cells: list[Cell] = []
    set_scores: list[SetScore] = []
    for one in counted:
        mine = by_set.get(one.row.pk, {})
        counts = one.row.pk in inside
        if not counts and not mine:
            set_scores.append(SetScore(one.row.pk, None))
            continue
        readable = own or (one.plans_open and not policies.is_former(person))
        of_set = [
            _cell_of(one, number, mine.get(number), counts=counts, readable=readable)
            for number in one.numbers
        ]
        score = ranking.score(m for m in (_mark(cell) for cell in of_set) if m is not None)
        if counts:
            cells += of_set
            set_scores.append(SetScore(one.row.pk, score))
        else:
            outside_cells += of_set
            set_scores.append(SetScore(one.row.pk, None, score))
    scores = [s.score for s in set_scores if s.score is not None]
    if not scores:
        return outside_line(person, tuple(set_scores), tuple(outside_cells))
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


def outside_line(
    person: Membership, set_scores: tuple[SetScore, ...], cells: tuple[Cell, ...]
) -> Unranked | None:
    """The line of somebody for whom no set counts; None where none was planned."""
    planned = [one.outside for one in set_scores if one.outside is not None]
    if not planned:
        return None
    return Unranked(
        person=person,
        late=False,
        pending=0,
        score=ranking.total(planned),
        mean_over=(),
        counting=0,
        cells=cells,
        set_scores=set_scores,
    )


def _cell_of(
    one: Counted, number: int, plan: PlanFigures | None, *, counts: bool, readable: bool
) -> Cell:
    cell = partial(
        Cell, one.row.pk, number, plan_id=plan.id if plan is not None and readable else None
    )
    if number in one.void:
        return cell("void", None)
    if plan is None:
        # A missing plan counts only once the set has closed.
        missing = CAP if counts else None
        return cell("missing", missing) if one.head.has_closed else cell("to_come", None)
    if plan.status in PENDING:
        return cell("pending", None)
    if plan.status == PlanStatus.WITHDRAWN:
        return cell("withdrawn", CAP)
    state: CellState = "solved"
    if not plan.solved:
        state = "no_plan" if plan.kind == PlanKind.NO_PLAN else "not_solved"
    elif plan.out_of_time:
        state = "out_of_time"
    points = ranking.mark_for(plan.excess if state == "solved" else None).points
    return cell(state, points, plan.moves, plan.best, plan.excess)


def _mark(cell: Cell) -> Mark | None:
    if cell.points is None:
        return None
    return ranking.mark_for(cell.excess) if cell.state == "solved" else ranking.UNSOLVED


def name_of(person: Membership) -> str:
    """The name by which a table calls somebody."""
    return person.display_name if policies.is_named_in_tables(person) else _("a member")


def without_rank(lines: Sequence[Unranked], viewer: Membership) -> tuple[WithoutRank, ...]:
    """The lines without a rank, by name."""
    rows = [
        WithoutRank(
            membership_id=e.person.pk,
            member=name_of(e.person),
            own=e.person.pk == viewer.pk,
            score=e.score,
            cells=e.cells,
            set_scores=e.set_scores,
        )
        for e in lines
    ]
    return tuple(sorted(rows, key=lambda row: row.member.casefold()))


def ranked(lines: Sequence[Unranked], viewer: Membership, by_mean: bool) -> tuple[Placing, ...]:
    orders = [ranking.mean_order(e.mean_over) if by_mean else e.score.order for e in lines]
    rows = [
        Placing(
            rank=rank,
            membership_id=e.person.pk,
            member=name_of(e.person),
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
