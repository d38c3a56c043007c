"""The last weekly looks at a club's members and ideas."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Sum

from solverworker.causes import IDEAS
from training import clock, looks, visibility
from training.looks import Look
from training.models import Drawn, Membership, ScrambleSet, TechniqueCount
from training.pooled import pooled_rate
from training.selectors.accounts import scrambles_of
from training.statistics import Interval, Tally
from training.yardsticks import Flag, Reading, group_below

NOTHING = (Tally(0, 0), 0.0)


@dataclass(frozen=True, slots=True)
class Looked:
    """What the last look says of some members.

    ``monday``: when it was taken. By membership: ``readings`` and the
    ``flags`` that stand. ``learning``: ideas in which the group itself is below
    the target.
    """

    monday: date
    readings: Mapping[int, Mapping[str, Reading]]
    flags: Mapping[int, Mapping[str, Flag]]
    learning: frozenset[str]

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
) -> Looked:
    """The last look at some members of a club against each other, as ``viewer`` may know it.

    ``target``: of all ideas, 0 to 1; ``drawn``: the kind of sets. Two queries.
    """
    last = looks.last_look(clock.local_date(now, viewer.club.zone))
    targets = dict.fromkeys(IDEAS, target)
    seen = [_tallies(viewer, members, each, drawn) for each in (last, last.before)]
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


def _tallies(
    viewer: Membership, members: Sequence[int], look: Look, drawn: str
) -> list[looks.Tallies]:
    """Each member's tallies of the sets that closed within a look's weeks."""
    found = tallies(_sets(viewer, look, drawn))
    return [{code: found[code].get(member, NOTHING)[0] for code in IDEAS} for member in members]


def _sets(viewer: Membership, look: Look, drawn: str) -> Iterable[ScrambleSet]:
    """The sets that closed within a look's weeks."""
    zone = viewer.club.zone
    since, until = (
        clock.local_to_utc(day, clock.MIDNIGHT, zone) for day in (look.since, look.monday)
    )
    return list(visibility.reviewed_sets(viewer, since, until, drawn=drawn))


def tallies(
    sets: Iterable[ScrambleSet],
) -> dict[str, dict[int, tuple[Tally, float]]]:
    """By technique and membership: answered of called, and moves lost."""
    found: dict[str, dict[int, tuple[Tally, float]]] = defaultdict(dict)
    rows = (
        TechniqueCount.objects.counting()
        .filter(scramble_set__in=sets)
        .values("membership_id", "code")
        .annotate(all_called=Sum("called"), all_answered=Sum("answered"), all_lost=Sum("lost"))
        .values_list("membership_id", "code", "all_called", "all_answered", "all_lost")
    )
    for member, code, called, answered, lost in rows:
        found[code][member] = (Tally(answered, called), lost)
    return found
