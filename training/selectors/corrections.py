"""Corrections as they are read: notes beside a table, the log, and whose table it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Exists, OuterRef, Q

from training import correcting, policies, visibility
from training.models import (
    Corrected,
    Correction,
    Membership,
    OwnWindow,
    Plan,
    Scramble,
    ScrambleSet,
)
from training.models.corrections import CorrectionQuerySet
from training.prepared import LARGE, MANY, Prepared
from training.selectors.counting import Belonging, periods_of
from training.selectors.set_heads import load_named, title_of
from training.visibility import Sealed


@dataclass(frozen=True, slots=True)
class CorrectionNote:
    """A correction that stands, as it is told beside results.

    ``number``: of the scramble, None for a whole set; ``member``: whose plan,
    empty where it is for all. ``reason`` is empty for plans: the member reads it.
    ``own_table``: by a coach who is ranked there, because there was no other.
    ``stands_for``: of a spare, the number of the scramble in whose place it is;
    ``until``: of a set kept open, when it closes now; ``for_some``: for some members alone.
    """

    kind: str
    set_id: int
    set_title: str
    day: date
    number: int | None
    member: str
    reason: str
    done_at: datetime
    own_table: bool
    stands_for: int | None = None
    until: datetime | None = None
    for_some: bool = False


@dataclass(frozen=True, slots=True)
class CorrectionEntry:
    """An entry of the log of corrections.

    ``undoes``: the entry that it takes back; ``by`` is empty for a former
    member. ``before`` and ``after``: what it changed, None while the viewer,
    who competes, may not see plans of the set. ``last``: no entry undoes it yet.
    """

    id: int
    kind: str
    undoes: int | None
    in_force: bool
    last: bool
    done_at: datetime
    by: str
    set_id: int
    set_title: str
    day: date
    number: int | None
    member: str
    reason: str
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None
    own_table: bool


@dataclass(frozen=True, slots=True)
class CorrectionLog:
    """Some entries of a club, newest first, and whether there are older ones."""

    entries: tuple[CorrectionEntry, ...]
    has_older: bool


def correction_count(viewer: Membership) -> int:
    """How many entries a club has. Raises Sealed for who is no coach. One query."""
    visibility.require_group(viewer)
    return Correction.objects.of_club(viewer.club_id).count()


def notes_of(sets: Iterable[int], *, reader: Membership | None = None) -> list[CorrectionNote]:
    """What stands of some sets, in the order of its doing. One query, two where anything does.

    ``reader``: with the corrections of that member's plans, whose reasons are
    told, and without those of others' plans; None: of everybody's plans, without reasons.
    """
    ids = list(sets)
    ordered = _in_effect(ids) if reader is None else _in_effect_for(ids, reader.pk)
    load_named(one.scramble_set for one in ordered)
    return [_note(one, with_reason=reader is not None) for one in ordered]


def _standing(sets: Sequence[int], about: Q) -> CorrectionQuerySet:
    found = Correction.objects.in_effect().filter(about, scramble_set__in=sets)
    windows = OwnWindow.objects.filter(correction=OuterRef("pk"))
    found = found.annotate(for_some=Exists(windows))
    rows = found.select_related("scramble__stands_for", "scramble_set", "plan__membership")
    return rows.order_by("done_at", "pk")


_in_effect = Prepared(lambda sets: _standing(sets, Q()), MANY)
_in_effect_for = Prepared(
    lambda sets, reader: _standing(sets, Q(plan__isnull=True) | Q(plan__membership=reader)),
    *(MANY, LARGE),
)


def _note(one: Correction, *, with_reason: bool) -> CorrectionNote:
    told = with_reason or one.plan is None
    return CorrectionNote(
        kind=one.kind,
        set_id=one.scramble_set_id,
        set_title=title_of(one.scramble_set),
        day=one.scramble_set.day,
        number=one.scramble.number if one.scramble is not None else None,
        member=one.plan.membership.display_name if one.plan is not None else "",
        reason=one.reason if told else "",
        done_at=one.done_at,
        own_table=one.own_table,
        stands_for=one.scramble.stands_for.number
        if one.scramble is not None and one.scramble.stands_for is not None
        else None,
        until=datetime.fromisoformat(one.after["closes_at"])
        if one.kind == Corrected.KEPT_OPEN
        else None,
        for_some=one.for_some,  # type: ignore[attr-defined]
    )


def members_to_plan(viewer: Membership, set_id: int, now: datetime) -> list[tuple[int, str]]:
    """For whom a set can be kept open longer: who competes, while it is open. By name."""
    found = ScrambleSet.objects.of_club(viewer.club).shared().filter(pk=set_id).first()
    if found is None or not policies.is_open(found, now):
        return []
    people = Membership.objects.filter(club=viewer.club_id).competing().order_by("display_name")
    return list(people.values_list("pk", "display_name"))


def reasons_of(plans: Iterable[Plan]) -> dict[int, str]:
    """Why each of some plans is withdrawn, by plan. One query where any is, none else."""
    withdrawn = [one for one in plans if not policies.still_counts(one)]
    if not withdrawn:
        return {}
    found = Correction.objects.in_effect().about_plans(withdrawn)
    return dict(found.filter(kind=Corrected.PLAN_WITHDRAWN).values_list("plan", "reason"))


def is_excused(plan: Plan) -> bool:
    """Whether the time of a plan charges nothing, by a correction that stands. One query."""
    found = Correction.objects.in_effect().about_plans([plan])
    return found.filter(kind=Corrected.TIME_EXCUSED).exists()


def correction_log(
    viewer: Membership, now: datetime, *, start: int = 0, count: int = 100
) -> CorrectionLog:
    """The entries of a club for its coaches, from the ``start``-th newest on. Raises Sealed."""
    visibility.require_group(viewer)
    rows = Correction.objects.of_club(viewer.club_id).select_related(
        "scramble", "scramble_set", "plan__membership", "by", "undone_by"
    )
    found = list(rows[start : start + count + 1])
    load_named(one.scramble_set for one in found)
    return CorrectionLog(
        entries=tuple(_entry(viewer, one, now) for one in found[:count]),
        has_older=len(found) > count,
    )


def entry_for(viewer: Membership, correction_id: int, now: datetime) -> Correction:
    """One entry of the viewer's club, for coaches. Raises Sealed."""
    visibility.require_group(viewer)
    rows = Correction.objects.of_club(viewer.club_id).select_related(
        "scramble", "scramble_set", "plan__membership", "by"
    )
    found = rows.filter(pk=correction_id).first()
    if found is None:
        raise Sealed
    return found


def newest_of_plan(plan: Plan, kind: Corrected) -> Correction | None:
    """The entry with which a plan came to stand corrected; None where it does not."""
    found = Correction.objects.about_plans([plan]).filter(kind=kind)
    if not found.in_effect().exists():
        return None
    return found.filter(undone_by__isnull=True).first()


def shown_entry(viewer: Membership, one: Correction, now: datetime) -> CorrectionEntry:
    """An entry as a coach reads it."""
    return _entry(viewer, one, now)


def _entry(viewer: Membership, one: Correction, now: datetime) -> CorrectionEntry:
    sealed = one.plan is not None and visibility.in_sealed_mode(viewer, one.scramble_set, now)
    return CorrectionEntry(
        id=one.pk,
        kind=one.kind,
        undoes=one.undoes_id,
        in_force=one.in_force,
        last=not hasattr(one, "undone_by"),
        done_at=one.done_at,
        by=one.by.display_name if one.by is not None else "",
        set_id=one.scramble_set_id,
        set_title=title_of(one.scramble_set),
        day=one.scramble_set.day,
        number=one.scramble.number if one.scramble is not None else None,
        member=one.plan.membership.display_name if one.plan is not None else "",
        reason=one.reason,
        before=None if sealed else one.before,
        after=None if sealed else one.after,
        own_table=one.own_table,
    )


def resting_on(entry: Correction) -> Sequence[Correction]:
    """Entries that would not hold were this one taken back.

    Where it lets another stand again, one of its kind that stands already. Where
    it lets one fall: a spare rests on what took out the scramble it stands for,
    and what was corrected of the spare rests on its being put in.
    """
    root = entry
    while root.undoes is not None:
        root = root.undoes
    found = Correction.objects.in_effect().exclude(pk=root.pk)
    if not root.in_force:
        same = found.filter(kind=root.kind, scramble_set=root.scramble_set_id)
        return list(same.filter(scramble=root.scramble_id, plan=root.plan_id))
    if root.kind == Corrected.SCRAMBLE_VOID:
        spares = found.filter(kind=Corrected.SPARE)
        return list(spares.filter(scramble__stands_for=root.scramble_id))
    if root.kind == Corrected.SPARE:
        return list(found.filter(scramble=root.scramble_id))
    return []


def spare_places(viewer: Membership, set_id: int, now: datetime) -> list[int]:
    """The numbers of the void scrambles of a set in whose place its spare can be put."""
    visibility.require_group(viewer)
    rows = Scramble.objects.select_related("scramble_set").filter(
        scramble_set=set_id, stood_for_by__isnull=True, void=True
    )
    return [one.number for one in rows if correcting.may_take_spare(one, now)]


def concerns(by: Membership, scramble_set: ScrambleSet) -> tuple[bool, bool]:
    """Whether a set is one in which ``by`` is ranked or planned, and whether another coach is not.

    Four queries, five for a set of groups.
    """
    coaches = Membership.objects.open().coaching().filter(club=scramble_set.club_id)
    ids = list(coaches.values_list("pk", flat=True))
    periods = periods_of(ids)
    planned = Plan.objects.filter(scramble__scramble_set=scramble_set, membership__in=ids)
    own = set(planned.values_list("membership_id", flat=True))
    belonging = Belonging([scramble_set], among=ids)
    own |= {
        one
        for one in ids
        if policies.counts_for(periods.get(one, ()), scramble_set)
        and belonging.gives(one, scramble_set)
    }
    return by.pk in own, any(one not in own for one in ids if one != by.pk)
