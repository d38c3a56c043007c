"""Does the review name what members lack? Members with a planted weakness are simulated.

    python -m tests.bench.recovery [--clubs 13]

Clubs of twenty, four members of each kind:

* *no relative build*, *no base turn*, *no shared turn*: plan a shortest
  sequence that avoids that technique, any of them with equal chance;
* *edge by edge*: each edge straight onto its centre, the nearest first;
* *no weakness*: a shortest plan, into which a random turn slips in every second
  plan; from there the shortest way again. They lose moves, but lack nothing.

Each plans random crosses of its own, so that no two members tell the same.
*Named first* is the code
with the most blame; a technique is *flagged* when a review would say "likely
needs work" (at most two a member, by moves lost). Goals: with 60 plans the
planted technique is named first for 95 % of members, and at most 5 % of members
without a weakness are flagged. The blame of every plan is added up and compared
with its excess.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from solverworker.cube.cross import STATE_COUNT, after, code, unrank
from solverworker.review.blame import blame_of
from solverworker.search.cross import distance, shortest_solutions
from solverworker.search.ways import ways
from solverworker.techniques import TECHNIQUES, mask_of_codes, masks
from training.management.demo.habits import edge_by_edge as by_edge
from training.statistics import Flag, Tally, flag, priors

PLANS = (30, 60, 120)
OF_EACH_KIND = 4
MOST_FLAGS = 2
MOST_OVER, MOST_LISTED = 4, 400_000
"""A planner without an idea looks at ways this much longer, so many; then takes a shortest."""

Turns = tuple[int, ...]
Planner = Callable[[int, random.Random], Turns]


def avoiding(technique: str) -> Planner:
    """A shortest sequence that does not use one technique, any of them with equal chance."""
    bit = mask_of_codes([technique])

    def choices(rank: int) -> tuple[Turns, ...]:
        state = unrank(rank)
        for over in range(MOST_OVER + 1):
            found = ways(code(state), distance(state) + over, MOST_LISTED)
            kept = found[masks(code(state), found) & bit == 0]
            if len(kept):
                return tuple(map(tuple, kept.tolist()))
        return tuple(shortest_solutions(state))

    return lambda rank, source: source.choice(choices(rank))


def edge_by_edge(rank: int, source: random.Random) -> Turns:
    """Each edge straight onto its centre."""
    return by_edge(unrank(rank), source)


def careless(rank: int, source: random.Random) -> Turns:
    """A shortest plan; in every second one a random turn slips in."""
    state = unrank(rank)
    way = source.choice(shortest_solutions(state))
    if source.random() < 0.5:
        return way
    done = (*way[: source.randrange(len(way) + 1)], source.randrange(18))
    return (*done, *source.choice(shortest_solutions(after(done, state))))


KINDS: dict[str, Planner] = {
    "relative_build": avoiding("relative_build"),
    "base_turn": avoiding("base_turn"),
    "shared_turn": avoiding("shared_turn"),
    "edge by edge": edge_by_edge,
    "no weakness": careless,
}


@dataclass
class Member:
    """What reviews have counted of a member so far."""

    kind: str
    blame: Counter[str] = field(default_factory=Counter)
    called: Counter[str] = field(default_factory=Counter)
    answered: Counter[str] = field(default_factory=Counter)

    def add(self, rank: int, turns: Turns) -> None:
        """Review a plan. Raises ValueError when its blame is not its excess."""
        state = unrank(rank)
        found = blame_of(code(state), turns)
        if sum(found.shares.values()) != len(turns) - distance(state):
            raise ValueError(f"the blame of {turns} from {rank} is not its excess")
        for name, share in found.shares.items():
            self.blame[name] += share  # type: ignore[assignment]
        self.called.update(found.called)
        self.answered.update(found.answered)

    @property
    def named_first(self) -> str:
        """The code with the most blame."""
        return max(self.blame, key=lambda name: self.blame[name], default="nothing")


def flags(club: list[Member]) -> list[list[str]]:
    """The techniques that a review would flag, for each member of a club."""
    found: list[list[str]] = [[] for _ in club]
    for technique in TECHNIQUES:
        tallies = [Tally(one.answered[technique], one.called[technique]) for one in club]
        for member, tally, prior in zip(range(len(club)), tallies, priors(tallies), strict=True):
            if flag(tally, prior) == Flag.NEEDS_WORK:
                found[member].append(technique)
    return [
        sorted(names, key=lambda name: -club[member].blame[name])[:MOST_FLAGS]
        for member, names in enumerate(found)
    ]


def main() -> None:
    """Simulate, and print both matrices for each number of plans."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--clubs", type=int, default=13)
    clubs = options.parse_args().clubs
    named: dict[int, dict[str, Counter[str]]] = defaultdict(lambda: defaultdict(Counter))
    flagged: dict[int, dict[str, Counter[str]]] = defaultdict(lambda: defaultdict(Counter))
    lost: dict[str, Fraction] = defaultdict(Fraction)
    for number in range(clubs):
        source = random.Random(f"recovery {number}")
        club = [Member(kind) for kind in KINDS for _ in range(OF_EACH_KIND)]
        for done in range(1, max(PLANS) + 1):
            for member in club:
                rank = source.randrange(STATE_COUNT)
                member.add(rank, KINDS[member.kind](rank, source))
            if done in PLANS:
                for member, names in zip(club, flags(club), strict=True):
                    named[done][member.kind][member.named_first] += 1
                    flagged[done][member.kind].update(names or ["none"])
        for member in club:
            lost[member.kind] += sum(map(Fraction, member.blame.values()))
    members = clubs * OF_EACH_KIND
    print(f"{clubs} clubs of {len(KINDS) * OF_EACH_KIND}, {members} members a kind.")
    print("The blame of every plan was its excess. Moves lost a plan:")
    for kind in KINDS:
        print(f"  {kind:<16}{float(lost[kind] / members / max(PLANS)):.2f}")
    for title, matrix in (("named first", named), ("flagged", flagged)):
        for plans in PLANS:
            _show(f"{plans} plans a member: planted and {title}", matrix[plans], members)


def _show(title: str, matrix: dict[str, Counter[str]], members: int) -> None:
    columns = [name for name in (*TECHNIQUES, "none") if any(row[name] for row in matrix.values())]
    columns += sorted({name for row in matrix.values() for name in row} - set(columns))
    print(f"\n{title}")
    print(f"{'':<16}" + "".join(f"{name.replace('_moves', ''):>16}" for name in columns))
    for kind in KINDS:
        shares = (f"{matrix[kind][name] / members:>16.0%}" for name in columns)
        print(f"{kind:<16}" + "".join(shares))


if __name__ == "__main__":
    main()
