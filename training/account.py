"""The whole account of a member: everything that the table charged, and nothing twice.

Pure: facts of plans in, headings out. Points are exact fractions whose sum is
what the table charged before any best *k*: the lesser of excess and the cap for
a solved plan, the cap for all else.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Any

from solverworker.causes import IDEAS
from solverworker.causes.residues import COLOUR_CHOICE, SPARE, UNDONE
from solverworker.report import SLIPS, PlanReport
from training.reach import Ending, Reach, reach_of_counts
from training.rules import CAP
from training.statistics import Tally
from training.yardsticks import Flag

LENGTHS = range(3, 9)
"""The best lengths of which the share of exact plans is told."""

LEAST_POINTS = 5
LEAST_SHARE = Fraction(1, 3)
"""A heading is named first from so many points and this share of all; an idea by its flag."""

FORGOTTEN, OTHER_SCRAMBLE, NOT_EXPLAINED = SLIPS[0], SLIPS[-2], SLIPS[-1]
UNSOLVED = "unsolved"


class Missing(StrEnum):
    """Why there is no plan that counts by what it solves; each charges the cap.

    ``OUT_OF_TIME``: it was checked, in a set that is timed only.
    """

    NO_PLAN = "no_plan"
    OUT_OF_TIME = "out_of_time"
    NOT_HANDED_IN = "not_handed_in"
    WITHDRAWN = "withdrawn"


HEADINGS = (UNSOLVED, *Missing, UNDONE.code, *IDEAS, *SPARE, COLOUR_CHOICE.code)
"""What points are charged to, in the order in which they are told."""

STRONGEST_PLANS, STRONGEST_SHARE = 20, Fraction(4, 5)
"""Somebody loses nothing any more with so many plans, of which this share is exact."""

_FIRST = (
    *SLIPS,
    Missing.NO_PLAN,
    Missing.OUT_OF_TIME,
    Missing.NOT_HANDED_IN,
    UNDONE.code,
    *SPARE,
    COLOUR_CHOICE.code,
)
"""What may be named first by its size, in the order in which ties are broken."""


@dataclass(frozen=True, slots=True)
class Crossed:
    """What one cross of a set came to, for one member.

    ``missing``: why there is nothing to check; the rest is then left as it is,
    but ``best`` may be known. ``ending``: of a solved plan. ``shares``: moves
    lost by code, whose sum is ``excess``. ``slips``: the kinds that would
    explain a plan that did not solve, of ``solverworker.report.SLIPS``;
    :data:`OTHER_SCRAMBLE` among them only where that one's answers are open.
    """

    best: int | None = None
    missing: Missing | None = None
    solved: bool = False
    excess: int = 0
    ending: Ending | None = None
    edge_by_edge: bool = False
    shares: tuple[tuple[str, Fraction], ...] = ()
    called: tuple[str, ...] = ()
    answered: tuple[str, ...] = ()
    slips: tuple[str, ...] = ()

    @property
    def points(self) -> int:
        """What the table charges."""
        return min(self.excess, CAP) if self.solved else CAP


def crossed(report: PlanReport, *, solves_another: bool = False) -> Crossed:
    """What a checked plan came to. ``solves_another``: a cross whose answers are open."""
    if not report.solved:
        other = (OTHER_SCRAMBLE,) if solves_another else ()
        return Crossed(best=report.best, slips=(*report.slips, *other))
    use = report.techniques
    return Crossed(
        best=report.best,
        solved=True,
        excess=report.excess or 0,
        ending=Ending(report.distance_start, report.tail),
        edge_by_edge=report.edge_by_edge,
        shares=tuple([(code, fraction(text)) for code, text in use.blame]) if use else (),
        called=use.called if use else (),
        answered=use.answered if use else (),
    )


def to_json(one: Crossed) -> list[Any]:
    """As it is kept beside a set's sums, in few letters.

    >>> to_json(Crossed(best=6, slips=("mirrored",)))
    [6, ['mirrored']]
    """
    if one.missing is not None:
        return [one.best, None] if one.missing is Missing.OUT_OF_TIME else [one.best]
    if one.ending is None:
        return [one.best, list(one.slips)]
    return [
        one.best,
        one.excess,
        one.ending.distance,
        one.ending.tail,
        int(one.edge_by_edge),
        {code: str(share) for code, share in one.shares},
        list(one.called),
        list(one.answered),
    ]


@lru_cache(maxsize=4096)
def fraction(text: str) -> Fraction:
    """A share as a report writes it."""
    return Fraction(text)


@dataclass(frozen=True, slots=True)
class Account:
    """One member's account.

    ``points``: by heading, all above 0, in the order of HEADINGS. ``unsolved``:
    plans by kind of slip. ``tallies``: by idea, all of them. ``by_length``:
    exact plans of all, by best length. ``edge_by_edge``: more than half of the
    solved plans.
    """

    plans: int
    solved: int
    points: Mapping[str, Fraction]
    unsolved: Mapping[str, int]
    tallies: Mapping[str, Tally]
    reach: Reach
    by_length: Mapping[int, Tally]
    edge_by_edge: bool

    @property
    def total(self) -> Fraction:
        """All points: what the table charged."""
        return sum(self.points.values(), Fraction(0))

    def first(self, flags: Mapping[str, Flag]) -> str | None:
        """The heading to be named first, given the flag of each idea; None: no single thing yet.

        Ties go to the one listed first, ideas last.
        """
        found: list[tuple[Fraction, str]] = []
        least = max(Fraction(LEAST_POINTS), LEAST_SHARE * self.total)
        for code in _FIRST:
            points = self.of_heading(code)
            if points >= least:
                found.append((points, str(code)))
        for code in IDEAS:
            if flags.get(code) is Flag.NEEDS_WORK:
                found.append((self.of_heading(code), code))
        return max(found, key=lambda one: one[0])[1] if found else None

    def loses_nothing(self, first: str | None) -> bool:
        """Whether hardly a move is lost any more, so that what lies beyond the cross is next.

        Of at least STRONGEST_PLANS plans that came in, "no plan" and unsolved
        ones among them, a share of STRONGEST_SHARE is exactly the best; and
        ``first``, the heading named first, is none to which moves of solved
        plans are charged.
        """
        exact, plans = self.exact
        enough = plans >= STRONGEST_PLANS and exact >= STRONGEST_SHARE * plans
        return enough and first in (None, *SLIPS, *Missing)

    @property
    def exact(self) -> tuple[int, int]:
        """How many plans are exactly the best, of how many of crosses that are told by length."""
        tallies = self.by_length.values()
        return sum(one.answered for one in tallies), sum(one.called for one in tallies)

    def of_heading(self, code: str) -> Fraction:
        """The points of a heading, or of a kind of slip."""
        if code in SLIPS:
            return Fraction(CAP * self.unsolved.get(code, 0))
        return self.points.get(code, Fraction(0))


Kept = Sequence[Any]
"""What :func:`to_json` makes of a checked plan, and of one that says there is none."""


@dataclass(slots=True)
class Sums:
    """One member's crosses, added up as they come, so that none is held.

    Pieces that come again and again are counted first and added up once.
    """

    shares: dict[tuple[str, str, int], int] = field(default_factory=dict)
    solved: dict[tuple[Any, ...], int] = field(default_factory=dict)
    ideas: dict[tuple[tuple[str, ...], tuple[str, ...]], int] = field(default_factory=dict)
    of_length: Counter[int] = field(default_factory=Counter)
    wrong: list[Sequence[str]] = field(default_factory=list)
    no_plan: int = 0
    out_of_time: int = 0

    def add(self, kept: Kept) -> None:
        """Add what is kept of one checked plan."""
        if len(kept) == 1:
            self.of_length[kept[0]] += 1
            self.no_plan += 1
        elif len(kept) == 2 and kept[1] is None:
            self.of_length[kept[0]] += 1
            self.out_of_time += 1
        elif len(kept) == 2:
            self.of_length[kept[0]] += 1
            self.wrong.append(kept[1])
        else:
            # Plain dictionaries, and what comes together counted together: this runs a million
            # times for a year of a federation.
            best, excess, distance, tail, edge_by_edge, shares, called, answered = kept
            how = best, not excess, distance, tail, edge_by_edge
            self.solved[how] = self.solved.get(how, 0) + 1
            for share in shares.items():
                lost = *share, max(excess, CAP)
                self.shares[lost] = self.shares.get(lost, 0) + 1
            if called:
                met = tuple(called), tuple(answered)
                self.ideas[met] = self.ideas.get(met, 0) + 1

    def account(self, missing: Mapping[Missing, int], *, limits: bool = True) -> Account:
        """The account, given how many more are missing in which way.

        ``limits``: whether the reach comes with its limits, which take a while.
        """
        points = self._points()
        for why, times in missing.items():
            points[why] += CAP * times
        solved = sum(self.solved.values())
        endings, of_length = Counter[tuple[int, int | None]](), self.of_length.copy()
        exact, by_edge = Counter[int](), 0
        for (best, is_exact, distance, tail, edge_by_edge), times in self.solved.items():
            endings[distance, tail] += times
            of_length[best] += times
            exact[best] += times * is_exact
            by_edge += times * edge_by_edge
        return Account(
            plans=solved
            + len(self.wrong)
            + self.no_plan
            + self.out_of_time
            + sum(missing.values()),
            solved=solved,
            points={code: cost for code, cost in points.items() if cost},
            unsolved=kinds_of_slips(self.wrong),
            tallies=self._tallies(),
            reach=reach_of_counts(endings, limits=limits),
            by_length={
                best: Tally(exact[best], of_length[best]) for best in LENGTHS if of_length[best]
            },
            edge_by_edge=2 * by_edge > solved,
        )

    def _tallies(self) -> dict[str, Tally]:
        called, answered = Counter[str](), Counter[str]()
        for (were_called, were_answered), times in self.ideas.items():
            for code in were_called:
                called[code] += times
            for code in were_answered:
                answered[code] += times
        return {code: Tally(answered[code], called[code]) for code in IDEAS}

    def _points(self) -> dict[str, Fraction]:
        # Whole numbers first, by what they are parts of: a fraction costs a hundred times more.
        parts: defaultdict[tuple[str, int], int] = defaultdict(int)
        for (code, share, excess), times in self.shares.items():
            # What costs more than the cap is scaled down to it.
            whole, of = fraction(share).as_integer_ratio()
            parts[code, of * excess] += whole * times * CAP
        found = dict.fromkeys(HEADINGS, Fraction(0))
        for (code, of), whole in parts.items():
            found[code] += Fraction(whole, of)
        found[UNSOLVED] += CAP * len(self.wrong)
        found[Missing.NO_PLAN] += CAP * self.no_plan
        found[Missing.OUT_OF_TIME] += CAP * self.out_of_time
        return found


def account_of(crosses: Iterable[Crossed]) -> Account:
    """Add up what a member's crosses came to."""
    sums, missing = Sums(), Counter[Missing]()
    for one in crosses:
        if one.missing in (None, Missing.NO_PLAN, Missing.OUT_OF_TIME):
            sums.add(to_json(one))
        else:
            missing[one.missing] += 1
    return sums.account(missing)


def kinds_of_slips(plans: Sequence[Sequence[str]]) -> dict[str, int]:
    """Count unsolved plans by kind of slip, as :func:`slip_of_each` tells it, in that order.

    >>> kinds_of_slips([["wrong_direction"], ["move_missing", "wrong_direction"], []])
    {'wrong_direction': 2, 'not_explained': 1}
    """
    sorted_by = Counter(slip_of_each(plans))
    return {kind: sorted_by[kind] for kind in SLIPS if sorted_by[kind]}


def slip_of_each(plans: Sequence[Sequence[str]]) -> list[str]:
    """The kind of slip of each unsolved plan, given by the kinds that would explain it.

    A forgotten rotation takes a plan alone; else it goes to that of its kinds
    which stands in most of them, ties in the order of SLIPS: so a member's
    plans explain each other.
    """
    kinds = [[FORGOTTEN] if FORGOTTEN in found else list(found) for found in plans]
    stands = Counter(kind for found in kinds for kind in found)
    order = {kind: place for place, kind in enumerate(SLIPS)}
    return [
        min(found, key=lambda kind: (-stands[kind], order[kind])) if found else NOT_EXPLAINED
        for found in kinds
    ]
