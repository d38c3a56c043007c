"""Is the heading named first the right one for each kind of member?

Clubs with one member of each kind, and clubs of edge-by-edge builders alone.
Plans are checked, added up and read as the site does it, by the looks of this
week and the last (eight plans a week). Goals at 60 plans: the right heading
first for 95 % of each kind; an idea first for 2 % of the careless.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from solverworker.causes import IDEAS
from solverworker.cube.cross import STATE_COUNT
from solverworker.review import check_plan, plan_slips
from tests.bench.recovery.kinds import KINDS, Kind, scramble
from training import looks
from training.account import Account, Crossed, account_of, crossed
from training.yardsticks import Flag

PLANS = (20, 40, 60)
A_WEEK = 8
MEMBERS = 50
TARGET = 0.7
CLUB_OF_ONE_KIND = 10
ALONE = " (own club)"
OF_THEIR_OWN = ("edge by edge", "edge by edge, still")


def member_plans(kind: Kind, ranks: Sequence[int], source: random.Random) -> list[Crossed]:
    """Check a member's plans of some crosses."""
    return [_checked(scramble(rank), kind.writes(rank, source)) for rank in ranks]


def _checked(scramble: str, plan: str) -> Crossed:
    report = check_plan(scramble, plan, colours=["white"], shown=0)
    if report.solved:
        one = crossed(report)
        if sum(share for _, share in one.shares) != one.excess:
            raise ValueError(f"the blame of {plan} after {scramble} is not its excess")
        return one
    return Crossed(best=report.best, slips=plan_slips(scramble, plan, colours=["white"]))


@dataclass(frozen=True, slots=True)
class Named:
    """What a member's page begins with, the ideas flagged, and the account behind both."""

    first: str | None
    flagged: tuple[str, ...]
    account: Account


def named(club: Sequence[Sequence[Crossed]]) -> list[Named]:
    """Read the members of a club, given all plans of each so far."""
    accounts = [account_of(crosses) for crosses in club]
    week_ago = [account_of(crosses[:-A_WEEK]) for crosses in club]
    targets = dict.fromkeys(IDEAS, TARGET)
    last, before = (
        looks.read_group([one.tallies for one in look], targets) for look in (accounts, week_ago)
    )
    found = []
    for account, new, old in zip(accounts, last, before, strict=True):
        flags = looks.flags(new, old)
        flagged = tuple(idea for idea in IDEAS if flags[idea] is Flag.NEEDS_WORK)
        found.append(Named(account.first(flags), flagged, account))
    return found


@dataclass
class Row:
    """What was named of the members of one kind, by number of plans."""

    kind: Kind
    first: dict[int, Counter[str | None]] = field(default_factory=dict)
    flagged: dict[int, Counter[str]] = field(default_factory=dict)
    styles: Counter[int] = field(default_factory=Counter)
    right: Counter[int] = field(default_factory=Counter)

    def add(self, plans: int, one: Named) -> None:
        """Count a member."""
        self.first.setdefault(plans, Counter())[one.first] += 1
        self.flagged.setdefault(plans, Counter()).update(one.flagged)
        self.styles[plans] += one.account.edge_by_edge
        told = one.account.edge_by_edge or not self.kind.style
        self.right[plans] += told and one.first in self.kind.right

    def share_right(self, plans: int) -> float:
        """Members of whom the right thing is told, of all."""
        return self.right[plans] / self.first[plans].total()

    def share_of_ideas(self, plans: int) -> float:
        """Members to whom an idea is named first, of all."""
        found = self.first[plans]
        return sum(found[code] for code in IDEAS) / found.total()


def simulate(members: int = MEMBERS, plans: Sequence[int] = PLANS) -> dict[str, Row]:
    """Simulate so many members of each kind, told of after so many plans."""
    rows: dict[str, Row] = {}
    for names, club in _clubs(members, max(plans)):
        for count in plans:
            for name, one in zip(names, named([each[:count] for each in club]), strict=True):
                kind = KINDS[name.removesuffix(ALONE)]
                rows.setdefault(name, Row(kind)).add(count, one)
    return rows


def _clubs(members: int, plans: int) -> Iterator[tuple[list[str], list[list[Crossed]]]]:
    alone: dict[str, list[list[Crossed]]] = {name: [] for name in OF_THEIR_OWN}
    for number in range(members):
        source = random.Random(f"recovery {number}")
        ranks = [source.randrange(1, STATE_COUNT) for _ in range(plans)]
        club = {name: member_plans(kind, ranks, source) for name, kind in KINDS.items()}
        for name, of_kind in alone.items():
            of_kind.append(club[name])
        yield list(club), list(club.values())
    for name, of_kind in alone.items():
        for begin in range(0, members, CLUB_OF_ONE_KIND):
            some = of_kind[begin : begin + CLUB_OF_ONE_KIND]
            yield [f"{name}{ALONE}"] * len(some), some


def main() -> None:
    """Simulate and print."""
    most = max(PLANS)
    print(f"The right heading named first, % of {MEMBERS} members a kind, by plans a member:")
    print(f"{'':<32}{''.join(f'{count:>6}' for count in PLANS)}   after {most}: named first")
    rows = simulate()
    for name, row in rows.items():
        shares = "".join(f"{row.share_right(count):>6.0%}" for count in PLANS)
        total = row.first[most].total()
        print(f"{name:<32}{shares}   {_shares(row.first[most], total)}")
        print(f"{'':<36}flagged: {_shares(row.flagged[most], total) or 'nothing'}")
        print(f"{'':<36}told to build edge by edge: {row.styles[most] / total:.0%}")
    for count in PLANS:
        worst = max(
            row.share_of_ideas(count) for name, row in rows.items() if name.startswith("careless")
        )
        print(f"An idea named first for the careless, after {count}: {worst:.0%} at most")


def _shares(found: Counter[str] | Counter[str | None], total: int) -> str:
    return ", ".join(f"{code or 'nothing'} {n / total:.0%}" for code, n in found.most_common())
