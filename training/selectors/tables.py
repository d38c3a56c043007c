"""The tables: of a day, a week, all time. The rule itself is in :mod:`training.ranking`."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from typing import Literal, NamedTuple

from django.db.models import Count, QuerySet

from training import clock, ranking, visibility
from training.models import (
    Membership,
    Plan,
    PlanKind,
    PlanStatus,
    ScrambleSet,
    Standing,
)
from training.ranking import Mark, Score
from training.selectors.heads import SetHead, head_of
from training.visibility import OwnPlans, Sealed

Period = Literal["day", "week", "all"]
CellState = Literal["solved", "not_solved", "no_plan", "withdrawn", "missing", "to_come", "pending"]

_PENDING = {PlanStatus.WAITING, PlanStatus.FAILED}


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
class Row:
    """One line of a table. ``mean`` (points a set) stands where means are ranked."""

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
    ranked by mean. ``so_far``: a counted set is still open or a plan is still
    being checked, so totals will move.
    """

    period: Period
    first_day: date | None
    sets: tuple[SetHead, ...]
    sealed: tuple[SetHead, ...]
    rows: tuple[Row, ...]
    late: tuple[Row, ...]
    so_far: bool
    pending: int
    by_mean: bool
    best_sets_counted: int | None
    handed_in: int
    expected: int


class _Fact(NamedTuple):
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
class _Counted:
    """A set that counts in the table, with how many scrambles it has."""

    row: ScrambleSet
    head: SetHead
    scrambles: int


def set_table(viewer: Membership, set_id: int, now: datetime) -> Table:
    """The table of one set. Raises Sealed for what is not there or not yet."""
    sets = visibility.visible_sets(viewer.club, now).filter(pk=set_id)
    if not sets.exists():
        raise Sealed
    return _table("day", viewer, sets, now, best_sets=None)


def day_table(viewer: Membership, day: date, now: datetime) -> Table:
    """The table of the as-drawn sets whose closing day is ``day`` on the club's calendar."""
    return _table("day", viewer, _closing_between(viewer, day, day, now), now, best_sets=None)


def week_table(viewer: Membership, monday: date, now: datetime) -> Table:
    """Monday to Sunday by closing day; sums over sets, of which the club may let the best count."""
    monday = clock.week_of(monday)
    sets = _closing_between(viewer, monday, monday + timedelta(days=6), now)
    return _table("week", viewer, sets, now, best_sets=viewer.club.best_sets_counted, first=monday)


def all_time_table(viewer: Membership, now: datetime) -> Table:
    """Everybody by the mean over the closed sets since joining.

    A set that is still open would pull the mean of those down who have not begun it.
    """
    closed = _as_drawn(viewer, now).filter(closes_at__lte=now)
    return _table("all", viewer, closed, now, best_sets=None)


def days_around(viewer: Membership, day: date, now: datetime) -> tuple[date | None, date | None]:
    """The nearest closing days with a set, before and after ``day``."""
    zone = viewer.club.zone
    begin = clock.local_to_utc(day, clock.MIDNIGHT, zone)
    end = clock.local_to_utc(day + timedelta(days=1), clock.MIDNIGHT, zone)
    sets = _as_drawn(viewer, now)
    before = sets.filter(closes_at__lte=begin).order_by("-closes_at").first()
    after = sets.filter(closes_at__gt=end).order_by("closes_at").first()
    return (
        clock.closing_day(before.closes_at, zone) if before else None,
        clock.closing_day(after.closes_at, zone) if after else None,
    )


def _as_drawn(viewer: Membership, now: datetime) -> QuerySet[ScrambleSet]:
    return visibility.visible_sets(viewer.club, now).filter(drawn="as_drawn")


def _closing_between(
    viewer: Membership, first: date, last: date, now: datetime
) -> QuerySet[ScrambleSet]:
    zone = viewer.club.zone
    # A set that closes at midnight belongs to the day that ends there: after, up to and with.
    return _as_drawn(viewer, now).filter(
        closes_at__gt=clock.local_to_utc(first, clock.MIDNIGHT, zone),
        closes_at__lte=clock.local_to_utc(last + timedelta(days=1), clock.MIDNIGHT, zone),
    )


def _table(
    period: Period,
    viewer: Membership,
    sets: QuerySet[ScrambleSet],
    now: datetime,
    *,
    best_sets: int | None,
    first: date | None = None,
) -> Table:
    found = list(sets.annotate(scramble_count=Count("scrambles")).order_by("opens_at"))
    for one in found:
        one.club = viewer.club
    facts = _facts(one.pk for one in found)
    counted, sealed = _split(viewer, found, facts, now)
    ids = {one.row.pk for one in counted}
    facts = [fact for fact in facts if fact.set_id in ids]
    by_member: dict[int, list[_Fact]] = defaultdict(list)
    for fact in facts:
        by_member[fact.membership_id].append(fact)
    people = _people(viewer, by_member)
    by_mean = period == "all"
    entries = [
        entry
        for person in people
        if (entry := _entry(person, counted, by_member[person.pk], best_sets)) is not None
    ]
    late = [e for e in entries if e.late and period == "week"]
    on_time = [e for e in entries if not (e.late and period == "week")]
    pending = sum(e.pending for e in entries)
    return Table(
        period=period,
        first_day=first or (counted[0].head.closing_day if counted else None),
        sets=tuple(one.head for one in counted),
        sealed=tuple(head_of(one, now) for one in sealed),
        rows=_ranked(on_time, viewer, by_mean),
        late=_ranked(late, viewer, True),
        so_far=pending > 0 or any(not one.head.has_closed for one in counted),
        pending=pending,
        by_mean=by_mean,
        best_sets_counted=best_sets,
        handed_in=sum(1 for e in entries if by_member[e.person.pk]),
        expected=len(entries),
    )


def _facts(set_ids: Iterable[int]) -> list[_Fact]:
    rows = Plan.objects.filter(scramble__scramble_set__in=list(set_ids)).values_list(
        "scramble__scramble_set_id",
        "scramble__number",
        "membership_id",
        "kind",
        "status",
        "verdict__solved",
        "verdict__excess",
        "verdict__moves",
        "verdict__best",
    )
    return [_Fact(*row) for row in rows]


def _split(
    viewer: Membership, sets: Sequence[ScrambleSet], facts: Sequence[_Fact], now: datetime
) -> tuple[list[_Counted], list[ScrambleSet]]:
    """The sets whose table is open to the viewer, and the others."""
    own: dict[int, set[int]] = defaultdict(set)
    for fact in facts:
        if fact.membership_id == viewer.pk:
            own[fact.set_id].add(fact.number)
    counted, sealed = [], []
    for one in sets:
        scrambles: int = one.scramble_count  # type: ignore[attr-defined]
        if visibility.sees_table(viewer, one, OwnPlans(frozenset(own[one.pk]), scrambles), now):
            counted.append(_Counted(one, head_of(one, now), scrambles))
        else:
            sealed.append(one)
    return counted, sealed


def _people(viewer: Membership, by_member: Mapping[int, Sequence[_Fact]]) -> list[Membership]:
    """Who is ranked: open accounts that compete, and archived ones that had handed in."""
    ranked = Membership.objects.filter(club=viewer.club, competes=True).exclude(
        standing=Standing.CONSENT
    )
    return [
        one
        for one in ranked.order_by("display_name")
        if one.standing == Standing.ACTIVE or one.pk in by_member
    ]


@dataclass(frozen=True, slots=True)
class _Entry:
    person: Membership
    late: bool
    pending: int
    score: Score
    mean_over: tuple[Score, ...]
    counting: int
    cells: tuple[Cell, ...]
    set_scores: tuple[SetScore, ...]


def _entry(
    person: Membership,
    counted: Sequence[_Counted],
    facts: Sequence[_Fact],
    best_sets: int | None,
) -> _Entry | None:
    """A member's line, or None when no set of the period counts for the member."""
    by_set: dict[int, dict[int, _Fact]] = defaultdict(dict)
    for fact in facts:
        by_set[fact.set_id][fact.number] = fact
    cells: list[Cell] = []
    set_scores: list[SetScore] = []
    for one in counted:
        mine = by_set.get(one.row.pk, {})
        if person.joined_at > one.row.opens_at and not mine:
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
    return _Entry(
        person=person,
        late=len(scores) < len(set_scores),
        pending=sum(1 for cell in cells if cell.state == "pending"),
        score=ranking.total(counting),
        mean_over=tuple(of_closed or scores),
        counting=len(counting),
        cells=tuple(cells),
        set_scores=tuple(set_scores),
    )


def _cell(number: int, fact: _Fact | None, closed: bool) -> Cell:
    if fact is None:
        # A missing plan counts only once the set has closed.
        return Cell(number, "missing", ranking.CAP) if closed else Cell(number, "to_come", None)
    if fact.status in _PENDING:
        return Cell(number, "pending", None)
    if fact.status == PlanStatus.WITHDRAWN:
        return Cell(number, "withdrawn", ranking.CAP)
    points = ranking.mark_for(fact.excess if fact.solved else None).points
    state: CellState = "solved"
    if not fact.solved:
        state = "no_plan" if fact.kind == PlanKind.NO_PLAN else "not_solved"
    return Cell(number, state, points, fact.moves, fact.best, fact.excess)


def _mark(cell: Cell) -> Mark | None:
    if cell.points is None:
        return None
    return ranking.mark_for(cell.excess) if cell.state == "solved" else ranking.UNSOLVED


def _ranked(entries: Sequence[_Entry], viewer: Membership, by_mean: bool) -> tuple[Row, ...]:
    orders = [ranking.mean_order(e.mean_over) if by_mean else e.score.order for e in entries]
    rows = [
        Row(
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
        for rank, e in zip(ranking.ranks(orders), entries, strict=True)
    ]
    return tuple(sorted(rows, key=lambda row: (row.rank, row.member.casefold())))
