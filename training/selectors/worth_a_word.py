"""What of a challenge is worth a word, each with its evidence: for the coach to choose from."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from training import visibility
from training.improving import EARLIER_WEEKS, SetGain, stood_out_once
from training.models import Challenge, Confirmation, ConfirmedLine, Membership, Praise, Verdict
from training.selectors.improvements import against_the_others

LONG = (7, 8)
"""Crosses so long that the first exact plan of one is worth a word."""

MOST_FINDERS = 3
"""More than so many who found a cross exactly, and it is no rare find."""


@dataclass(frozen=True, slots=True)
class Suggestion:
    """Something worth a word. ``key`` names it; ``figures``: its evidence, by ``kind``.

    *fewest*: points, crosses. *gained*: moves a cross fewer than in the weeks before,
    each measured against the others on the same scrambles. *rare*: the
    scramble's number, how many others found it, of how many plans. *first*: number, best.
    """

    key: str
    kind: str
    membership_id: int
    member: str
    figures: dict[str, Any]


def suggestions(
    viewer: Membership, challenge: Challenge, confirmation: Confirmation, now: datetime
) -> list[Suggestion]:
    """All that is worth a word of a confirmed challenge. Never of who did worst. Raises Sealed."""
    visibility.require_group(viewer)
    lines = {
        one.membership_id: one
        for one in ConfirmedLine.objects.filter(confirmation=confirmation).select_related(
            "membership"
        )
    }
    named = {pk: one.membership for pk, one in lines.items() if one.membership.display_name}
    return [
        *_fewest(lines, named),
        *_gained(viewer, challenge, named, now),
        *_rare(challenge, named),
        *_first(challenge, named),
    ]


def _made(kind: Praise, member: Membership, figures: dict[str, Any], more: str = "") -> Suggestion:
    key = f"{kind.value}-{member.pk}{more}"
    return Suggestion(key, kind.value, member.pk, member.display_name, figures)


def _fewest(lines: dict[int, ConfirmedLine], named: dict[int, Membership]) -> list[Suggestion]:
    first = [one for one in lines.values() if one.rank == 1 and one.solved and not one.late]
    if len(first) > MOST_FINDERS:
        return []
    return [
        _made(
            Praise.FEWEST,
            named[one.membership_id],
            {"points": one.points, "crosses": one.crosses},
        )
        for one in first
        if one.membership_id in named
    ]


def _gained(
    viewer: Membership, challenge: Challenge, named: dict[int, Membership], now: datetime
) -> list[Suggestion]:
    of_set = challenge.scramble_set
    begins = of_set.opens_at - timedelta(weeks=EARLIER_WEEKS)
    earlier = list(visibility.reviewed_sets(viewer, begins, of_set.opens_at).exclude(pk=of_set.pk))
    people = {pk: one.display_name for pk, one in named.items()}
    before = against_the_others(earlier, people)
    here = against_the_others([of_set], people)
    gains = [SetGain(pk, tuple(before[pk]), here[pk][0]) for pk in named if here.get(pk)]
    return [
        _made(
            Praise.GAINED,
            named[one.member],
            {"gain": round(one.gain, 2), "sets": len(one.before)},
        )
        for one in stood_out_once(gains)[:MOST_FINDERS]
    ]


def _rare(challenge: Challenge, named: dict[int, Membership]) -> list[Suggestion]:
    plans: dict[int, int] = defaultdict(int)
    exact: dict[int, list[int]] = defaultdict(list)
    rows = Verdict.objects.counting().filter(
        plan__scramble__scramble_set=challenge.scramble_set_id, plan__out_of_time=False
    )
    for number, member, excess in rows.values_list(
        "plan__scramble__number", "plan__membership_id", "excess"
    ):
        plans[number] += 1
        if excess == 0:
            exact[number].append(member)
    fewest = min((len(one) for one in exact.values()), default=0)
    found = []
    for number, members in sorted(exact.items()):
        # Found by most, or planned by hardly anybody else: then nothing is rare about it.
        if len(members) != fewest or fewest > MOST_FINDERS or 2 * fewest >= plans[number]:
            continue
        found += [
            _made(
                Praise.RARE,
                named[one],
                {"number": number, "others": len(members) - 1, "plans": plans[number]},
                f"-{number}",
            )
            for one in sorted(members)
            if one in named
        ]
    return found


def _first(challenge: Challenge, named: dict[int, Membership]) -> list[Suggestion]:
    exact = Verdict.objects.counting().filter(
        excess=0, best__in=LONG, plan__out_of_time=False, plan__membership__in=named
    )
    here = exact.filter(plan__scramble__scramble_set=challenge.scramble_set_id)
    found: dict[tuple[int, int], int] = {}
    rows = here.order_by("plan__scramble__number")
    for member, best, number in rows.values_list(
        "plan__membership_id", "best", "plan__scramble__number"
    ):
        found.setdefault((member, best), number)
    earlier = exact.filter(
        plan__scramble__scramble_set__for_member=None,
        plan__scramble__scramble_set__opens_at__lt=challenge.scramble_set.opens_at,
        plan__membership__in=[member for member, _best in found],
    )
    known = set(earlier.values_list("plan__membership_id", "best"))
    return [
        _made(Praise.FIRST, named[member], {"number": number, "best": best}, f"-{best}")
        for (member, best), number in found.items()
        if (member, best) not in known
    ]
