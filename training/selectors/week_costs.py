"""What a week has cost a club's members so far, as the tables charge it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from training import clock, visibility
from training.account import HEADINGS, UNSOLVED, Account
from training.models import Membership
from training.prepared import INSTANT
from training.selectors.accounts import accounts_of
from training.selectors.for_viewers import PreparedFor
from training.selectors.reviewed_sets import members_in_review


@dataclass(frozen=True, slots=True)
class MemberCost:
    """What the week has cost one member.

    ``points``: as the tables charge them, before any best *k*; ``crosses``: of how many.
    """

    membership_id: int
    member: str
    points: int
    crosses: int
    solved: int
    exact: int


@dataclass(frozen=True, slots=True)
class HeadingCost:
    """What the week has cost by one heading of the accounts; ``members``: names, most first."""

    code: str
    points: Fraction
    members: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WeekCost:
    """A week so far: ``members``, most first, and ``headings``, most first, of the same points."""

    members: tuple[MemberCost, ...]
    headings: tuple[HeadingCost, ...]


_due_after = PreparedFor(
    lambda viewer, now, since: (
        visibility.shared_sets(viewer, now)
        .as_drawn()
        .to_everybody()
        .not_taken_out()
        .due_after(since)
    ),
    *(INSTANT, INSTANT),
)


def week_cost(viewer: Membership, now: datetime, *, leave_out: Container[int] = ()) -> WeekCost:
    """What the random sets for everybody that close this week have cost those who compete.

    A plan that is missing charges once its set has closed; of an open set what
    is in is charged alone. ``leave_out``: ids of sets that the viewer may not read yet.
    """
    monday = clock.week_of(clock.local_date(now, viewer.club.zone))
    since = clock.local_to_utc(monday, clock.MIDNIGHT, viewer.club.zone)
    sets = [one for one in _due_after(viewer, now, since) if one.pk not in leave_out]
    people = members_in_review(viewer)
    accounts = accounts_of(people, sets, limits=False, now=now)
    members = [_of_member(one, accounts[one.pk]) for one in people]
    found: dict[str, dict[str, Fraction]] = defaultdict(dict)
    for one in people:
        for code, points in _by_heading(accounts[one.pk]).items():
            found[code][one.display_name] = points
    headings = [
        HeadingCost(
            code=code,
            points=sum(of_members.values(), Fraction(0)),
            members=tuple(sorted(of_members, key=lambda name: (-of_members[name], name))),
        )
        for code, of_members in found.items()
    ]
    return WeekCost(
        members=tuple(sorted(members, key=lambda one: (-one.points, one.member.casefold()))),
        headings=tuple(sorted(headings, key=lambda one: -one.points)),
    )


def _of_member(who: Membership, account: Account) -> MemberCost:
    exact, _ = account.exact
    return MemberCost(
        membership_id=who.pk,
        member=who.display_name,
        points=int(account.total),
        crosses=account.plans,
        solved=account.solved,
        exact=exact,
    )


def _by_heading(account: Account) -> dict[str, Fraction]:
    """The points by heading, those of plans that do not solve by their kind of slip."""
    found = {str(code): account.of_heading(code) for code in HEADINGS if code != UNSOLVED}
    found |= {kind: account.of_heading(kind) for kind in account.unsolved}
    return {code: points for code, points in found.items() if points}
