"""The last weekly looks at a club's members and ideas."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Case, Sum, Value, When

from solverworker.causes import IDEAS
from training import clock, looks
from training.looks import Look
from training.models import Drawn, Membership, ScrambleSet, TechniqueCount
from training.pooled import pooled_rate
from training.selectors.accounts import scrambles_of
from training.selectors.reviewed_sets import sets_in_review
from training.statistics import Interval, Tally
from training.yardsticks import Flag, Reading, group_below

NOTHING = (Tally(0, 0), 0.0)

Counts = Mapping[str, Mapping[int, tuple[Tally, float]]]
"""By technique and membership: answered of called, and moves lost."""


@dataclass(frozen=True, slots=True)
class Looked:
    """What the last look says of some members.

    ``monday``: when it was taken. By membership: ``readings`` and the
    ``flags`` that stand. ``learning``: ideas in which the group itself is below
    the target. ``beside``: the counts of other lists of sets that were asked
    for with it.
    """

    monday: date
    readings: Mapping[int, Mapping[str, Reading]]
    flags: Mapping[int, Mapping[str, Flag]]
    learning: frozenset[str]
    beside: tuple[Counts, ...]

    def learns_with_all(self, member: int, code: str) -> bool:
        """Whether the whole group is learning an idea, this member with it."""
        return code in self.learning and self.flags[member][code] is not Flag.STRONG


def look_at(
    viewer: Membership,
    members: Sequence[int],
    now: datetime,
    target: float,
    *,
    drawn: str = Drawn.AS_DRAWN,
    beside: Sequence[Collection[ScrambleSet]] = (),
) -> Looked:
    """The last look at some members of a club against each other, as ``viewer`` may know it.

    ``target``: of all ideas, 0 to 1; ``drawn``: the kind of sets; ``beside``:
    other lists of sets, of which most are among those of the look. Three queries.
    """
    last = looks.last_look(clock.local_date(now, viewer.club.zone))
    targets = dict.fromkeys(IDEAS, target)
    spans = [_sets(viewer, each, drawn) for each in (last, last.before)]
    new, old, *others = counts_of_each([*spans, *beside])
    seen = [_of_members(one, members) for one in (new, old)]
    readings, before = (looks.read_group(one, targets) for one in seen)
    return Looked(
        monday=last.monday,
        readings=dict(zip(members, readings, strict=True)),
        flags={
            member: looks.flags(new, old)
            for member, new, old in zip(members, readings, before, strict=True)
        },
        learning=frozenset(
            code
            for code, idea in IDEAS.items()
            if not idea.rarely_called and group_below([one[code] for one in seen[0]], target)
        ),
        beside=tuple(others),
    )


def pooled_rates(
    viewer: Membership, members: Sequence[int], monday: date, *, drawn: str = Drawn.AS_DRAWN
) -> dict[str, Interval | None]:
    """The rates of some members together at the look of a Monday, by idea, as tallies of sets.

    None: too few sets or scrambles for an interval. Two queries.
    """
    sets = _sets(viewer, Look(monday), drawn)
    scrambles = scrambles_of(sets)
    rows = (
        TechniqueCount.objects.counting()
        .filter(scramble_set__in=sets, membership__in=members)
        .values("scramble_set_id", "code")
        .annotate(all_called=Sum("called"), all_answered=Sum("answered"))
        .values_list("scramble_set_id", "code", "all_called", "all_answered")
    )
    parts: dict[str, dict[int, Tally]] = {code: {} for code in IDEAS}
    for set_id, code, called, answered in rows:
        if called and code in parts:
            parts[code][set_id] = Tally(answered, called)
    return {
        code: pooled_rate(list(of_sets.values()), sum(scrambles[set_id] for set_id in of_sets))
        for code, of_sets in parts.items()
    }


def _of_members(counts: Counts, members: Sequence[int]) -> list[looks.Tallies]:
    """Each member's tallies of all ideas, in order."""
    found = {code: counts.get(code, {}) for code in IDEAS}
    return [{code: found[code].get(member, NOTHING)[0] for code in IDEAS} for member in members]


def _sets(viewer: Membership, look: Look, drawn: str) -> list[ScrambleSet]:
    """The sets that closed within a look's weeks."""
    zone = viewer.club.zone
    since, until = (
        clock.local_to_utc(day, clock.MIDNIGHT, zone) for day in (look.since, look.monday)
    )
    return sets_in_review(viewer, since, until, drawn=drawn)


def counts_of_each(spans: Sequence[Collection[ScrambleSet]]) -> list[Counts]:
    """What the plans of several lists of sets came to. The lists may share most. One query.

    A set's counts are added up once, whatever number of lists it stands in: the database sums
    each part that lists share, the parts are put together here.
    """
    held: dict[int, int] = defaultdict(int)
    for place, sets in enumerate(spans):
        for one in sets:
            held[one.pk] |= 1 << place
    parts: dict[int, list[int]] = defaultdict(list)
    for pk, places in held.items():
        parts[places].append(pk)
    found: list[dict[str, dict[int, tuple[Tally, float]]]] = [defaultdict(dict) for _ in spans]
    if not parts:
        return list(found)
    rows = (
        TechniqueCount.objects.counting()
        .filter(scramble_set__in=list(held))
        .annotate(part=Case(*(When(scramble_set__in=s, then=Value(p)) for p, s in parts.items())))
        .values("membership_id", "code", "part")
        .annotate(all_called=Sum("called"), all_answered=Sum("answered"), all_lost=Sum("lost"))
        .values_list("membership_id", "code", "part", "all_called", "all_answered", "all_lost")
    )
    for member, code, part, called, answered, lost in rows:
        for place, of_span in enumerate(found):
            if part >> place & 1:
                tally, before = of_span[code].get(member, NOTHING)
                of_span[code][member] = (
                    Tally(tally.answered + answered, tally.called + called),
                    before + lost,
                )
    return list(found)
