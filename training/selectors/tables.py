"""The tables: of a day, a week, all time. The rule itself is in :mod:`training.ranking`.

The club's tables sum what was given to everybody. A group has tables of its own, of those who
belonged to it: of the same sets, so that its members are ranked among themselves, or of the
sets that were for the group.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import NamedTuple

from training import clock, visibility
from training.models import Group, Membership, Plan, Scramble, ScrambleSet
from training.models.sets import ScrambleSetQuerySet
from training.selectors.corrections import notes_of
from training.selectors.counting import Whose, people_of
from training.selectors.reviewed_sets import club_set
from training.selectors.set_heads import head_of, load_named
from training.selectors.table_rows import (
    Cell,
    Counted,
    Period,
    Placing,
    PlanFigures,
    SetScore,
    Table,
    Unranked,
    name_of,
    ranked,
    unranked_line,
    without_rank,
)
from training.selectors.table_sums import sums_of, unranked_sums
from training.visibility import OwnPlans, Sealed

__all__ = [
    "Cell",
    "GroupAsked",
    "Placing",
    "SetScore",
    "Table",
    "all_time_table",
    "day_table",
    "days_around",
    "group_asked",
    "set_table",
    "week_table",
]


@dataclass(frozen=True, slots=True)
class GroupAsked:
    """Whose own table is asked for. ``own_sets``: of the group's sets, else of everybody's."""

    group: Group
    own_sets: bool = False


def group_asked(
    viewer: Membership, group_id: int, now: datetime, *, own_sets: bool = False
) -> GroupAsked:
    """A group whose tables ``viewer`` sees. Raises Sealed for another."""
    found = visibility.tables_of_groups(viewer, now).filter(pk=group_id).first()
    if found is None:
        raise Sealed
    return GroupAsked(found, own_sets)


def set_table(viewer: Membership, set_id: int, now: datetime) -> Table:
    """The table of one set. Raises Sealed for what is not there or not yet."""
    rows = club_set(viewer, now, set_id)
    if not rows:
        raise Sealed
    return _table("day", viewer, rows, now, best_sets=None)


def day_table(
    viewer: Membership, day: date, now: datetime, *, of: GroupAsked | None = None
) -> Table:
    """The table of the as-drawn sets whose closing day is ``day`` on the club's calendar."""
    sets = _closing_between(viewer, day, day, now, of)
    return _table("day", viewer, sets.order_by("opens_at"), now, best_sets=None, of=of)


def week_table(
    viewer: Membership, monday: date, now: datetime, *, of: GroupAsked | None = None
) -> Table:
    """Monday to Sunday by closing day; sums over sets, of which the club may let the best count.

    How many do, the first set of the week says: it was so when the week opened.
    """
    monday = clock.week_of(monday)
    sets = _closing_between(viewer, monday, monday + timedelta(days=6), now, of)
    rows = list(sets.order_by("opens_at"))
    best = next((one.best_sets_counted for one in rows), viewer.club.best_sets_counted)
    return _table("week", viewer, rows, now, best_sets=best, first=monday, of=of)


def all_time_table(viewer: Membership, now: datetime, *, of: GroupAsked | None = None) -> Table:
    """Everybody by the mean over the closed sets that count for them.

    A set that is still open would pull the mean of those down who have not begun it.
    """
    closed = _as_drawn(viewer, now, of).closed(now).order_by("opens_at")
    return _table("all", viewer, closed, now, best_sets=None, of=of)


def days_around(
    viewer: Membership, day: date, now: datetime, *, of: GroupAsked | None = None
) -> tuple[date | None, date | None]:
    """The nearest closing days with a set, before and after ``day``."""
    zone = viewer.club.zone
    begin = clock.local_to_utc(day, clock.MIDNIGHT, zone)
    end = clock.local_to_utc(day + timedelta(days=1), clock.MIDNIGHT, zone)
    sets = _as_drawn(viewer, now, of).of_days()
    before = sets.due_by(begin).order_by("-due_at").first()
    after = sets.due_after(end).order_by("due_at").first()
    return (
        clock.closing_day(before.due_at, zone) if before else None,
        clock.closing_day(after.due_at, zone) if after else None,
    )


def _as_drawn(viewer: Membership, now: datetime, of: GroupAsked | None) -> ScrambleSetQuerySet:
    sets = visibility.shared_sets(viewer, now).as_drawn()
    return sets.for_group(of.group) if of and of.own_sets else sets.to_everybody()


def _closing_between(
    viewer: Membership, first: date, last: date, now: datetime, of: GroupAsked | None
) -> ScrambleSetQuerySet:
    zone = viewer.club.zone
    return (
        _as_drawn(viewer, now, of)
        .of_days()
        .closing_within(
            clock.local_to_utc(first, clock.MIDNIGHT, zone),
            clock.local_to_utc(last + timedelta(days=1), clock.MIDNIGHT, zone),
        )
    )


def _table(
    period: Period,
    viewer: Membership,
    sets: Iterable[ScrambleSet],
    now: datetime,
    *,
    best_sets: int | None,
    first: date | None = None,
    of: GroupAsked | None = None,
) -> Table:
    rows = list(sets)
    load_named(rows)
    found = [one for one in rows if not one.taken_out]
    for one in rows:
        one.club = viewer.club
    lines, counted, sealed, handed_in = (
        _summed_up(viewer, found, now, of)
        if period == "all"
        else _by_plans(viewer, found, now, best_sets, of)
    )
    by_mean = period == "all"
    inside = [e for e in lines if not e.outside]
    late = [e for e in inside if e.late and period == "week"]
    on_time = [e for e in inside if not (e.late and period == "week")]
    # Nothing counted yet is no result: it would stand above everybody who has handed in.
    to_come = [e for e in on_time if not e.begun]
    on_time = [e for e in on_time if e.begun]
    pending = sum(e.pending for e in lines)
    running = not by_mean and any(not one.head.has_closed for one in counted)
    alike = _as_far(on_time, counted, viewer) if running else on_time
    return Table(
        period=period,
        first_day=first or (counted[0].head.closing_day if counted else None),
        sets=tuple(one.head for one in counted),
        sealed=tuple(head_of(one, now) for one in sealed),
        rows=ranked(alike, viewer, by_mean),
        late=ranked(late, viewer, True),
        under_way=without_rank([e for e in on_time if e not in alike], viewer),
        outside=without_rank([e for e in lines if e.outside], viewer),
        to_come=tuple(name_of(e.person) for e in to_come),
        so_far=pending > 0 or any(not one.head.has_closed for one in counted),
        pending=pending,
        by_mean=by_mean,
        best_sets_counted=best_sets,
        handed_in=sum(1 for e in inside if e.person.pk in handed_in),
        expected=len(inside),
        corrections=() if by_mean else tuple(notes_of(one.pk for one in rows)),
    )


def _as_far(
    lines: Sequence[Unranked], counted: Sequence[Counted], viewer: Membership
) -> list[Unranked]:
    """Those of whom as many crosses are told as of the viewer; as of all, where that is nobody."""
    crosses = sum(len(one.numbers) - len(one.void) for one in counted)
    own = next((one.told for one in lines if one.person.pk == viewer.pk), crosses)
    return [one for one in lines if one.told == own]


class _Lines(NamedTuple):
    """Lines to be ranked, the sets in them and those still sealed, and who handed in at all."""

    lines: list[Unranked]
    counted: list[Counted]
    sealed: list[ScrambleSet]
    handed_in: Container[int]


def _by_plans(
    viewer: Membership,
    sets: Sequence[ScrambleSet],
    now: datetime,
    best_sets: int | None,
    of: GroupAsked | None,
) -> _Lines:
    plans = _plans(one.pk for one in sets)
    own: dict[int, set[int]] = defaultdict(set)
    scrambles = _scrambles(sets)
    for plan in plans:
        if plan.membership_id == viewer.pk:
            own[plan.set_id].add(plan.number)
    counted, sealed = _split(viewer, sets, scrambles, own, now)
    people, whose = _whose(viewer, [one.row for one in counted], of)
    ids = {one.row.pk for one in counted}
    by_member: dict[int, list[PlanFigures]] = defaultdict(list)
    for plan in plans:
        if plan.set_id in ids and whose.shows(plan.membership_id, plan.set_id):
            by_member[plan.membership_id].append(plan)
    lines = [
        unranked_line(
            one,
            counted,
            by_member.get(one.pk, ()),
            whose.inside(one.pk),
            best_sets,
            own=one.pk == viewer.pk,
        )
        for one in people
    ]
    return _Lines([line for line in lines if line is not None], counted, sealed, by_member)


def set_lines(scramble_set: ScrambleSet, now: datetime) -> list[Unranked]:
    """Everybody's line of one set (its club loaded), whoever may see it. Four queries."""
    numbers = _scrambles([scramble_set]).get(scramble_set.pk, {})
    void = frozenset(number for number, is_void in numbers.items() if is_void)
    counted = [Counted(scramble_set, head_of(scramble_set, now), tuple(sorted(numbers)), void)]
    by_member: dict[int, list[PlanFigures]] = defaultdict(list)
    for plan in _plans([scramble_set.pk]):
        by_member[plan.membership_id].append(plan)
    people, periods = people_of(scramble_set.club_id)
    whose = Whose([] if scramble_set.taken_out else [scramble_set], periods, None)
    lines = (
        unranked_line(one, counted, by_member.get(one.pk, ()), whose.inside(one.pk), None)
        for one in people
    )
    return [line for line in lines if line is not None]


def _summed_up(
    viewer: Membership, sets: Sequence[ScrambleSet], now: datetime, of: GroupAsked | None
) -> _Lines:
    """The same of sets that have all closed, without cells: there may be thousands of plans."""
    # Once a set has closed, no table of it waits for a plan of one's own.
    counted, sealed = _split(viewer, sets, _scrambles(sets, void=False), {}, now)
    sums = sums_of(one.row.pk for one in counted)
    people, whose = _whose(viewer, [one.row for one in counted], of)
    lines = [
        unranked_sums(
            one,
            counted,
            {key: each for key, each in sums.get(one.pk, {}).items() if whose.shows(one.pk, key)},
            whose.inside(one.pk),
        )
        for one in people
    ]
    return _Lines([line for line in lines if line is not None], counted, sealed, sums)


def _whose(
    viewer: Membership, sets: Sequence[ScrambleSet], of: GroupAsked | None
) -> tuple[list[Membership], Whose]:
    """Who is in a table of these sets, and what counts for whom. One query, for groups more."""
    own = next((one.for_member_id for one in sets if one.for_member_id is not None), None)
    people, periods = people_of(viewer.club_id)
    if own is not None:
        people = [one for one in people if one.pk == own]
    return people, Whose(sets, periods, of.group if of else None)


def _plans(set_ids: Iterable[int]) -> list[PlanFigures]:
    plans = Plan.objects.filter(scramble__scramble_set__in=list(set_ids))
    # In no order: then the indexes made for this say all of it.
    rows = plans.order_by().values_list(
        "pk",
        "scramble__scramble_set_id",
        "scramble__number",
        "membership_id",
        "kind",
        "status",
        "out_of_time",
        "verdict__solved",
        "verdict__excess",
        "verdict__moves",
        "verdict__best",
    )
    return [PlanFigures(*row) for row in rows]


def _scrambles(
    sets: Sequence[ScrambleSet], *, void: bool | None = None
) -> dict[int, dict[int, bool]]:
    """By set and number, whether a scramble is void. ``void``: of such alone, or of others."""
    found: dict[int, dict[int, bool]] = defaultdict(dict)
    rows = Scramble.objects.filter(scramble_set__in=[one.pk for one in sets])
    if void is not None:
        rows = rows.filter(void=void)
    for set_id, number, is_void in rows.order_by().values_list("scramble_set", "number", "void"):
        found[set_id][number] = is_void
    return found


def _split(
    viewer: Membership,
    sets: Sequence[ScrambleSet],
    scrambles: Mapping[int, Mapping[int, bool]],
    own: Mapping[int, set[int]],
    now: datetime,
) -> tuple[list[Counted], list[ScrambleSet]]:
    """The sets whose table is open to the viewer, and the others. ``own``: plans in, by set."""
    counted, sealed = [], []
    for one in sets:
        numbers = scrambles.get(one.pk, {})
        void = frozenset(number for number, is_void in numbers.items() if is_void)
        mine = OwnPlans(frozenset(own.get(one.pk, ())), frozenset(numbers) - void)
        if visibility.sees_table(viewer, one, mine, now):
            readable = visibility.sees_others_plans(viewer, one, mine, now)
            head = head_of(one, now)
            counted.append(Counted(one, head, tuple(sorted(numbers)), void, readable))
        else:
            sealed.append(one)
    return counted, sealed
