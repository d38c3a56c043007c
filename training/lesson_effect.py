"""Before and after a lesson: the members' own change, less a change in what was not taught.

A lesson is chosen after a bad month, so the next month is better by itself
(regression to the mean), and members get better at everything meanwhile. So
the month that made the coach choose belongs to neither window, and what was
taught is compared with what was not: a difference of differences.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from training.pooled import LEAST_PARTS, LEAST_SCRAMBLES, widened
from training.statistics import LEVEL, Interval, Tally

SHOWN_WEEKS, COMPARED_WEEKS = 4, 8
"""What the chooser is shown; and how long before that, and after the lesson, is compared."""

LEAST_CONTROL = 20
"""What was not taught is a control when there are so many of it in both windows."""

LEAST_MEMBERS = 2
"""Nothing is ever claimed of one member, nor against one."""

_DRAWS = 1999
_AT_ONCE = 2_000_000
"""So many numbers of draws are held at a time: a federation has thousands of rows."""

_SEED = 10
"""The same answers give the same interval, on every machine."""

_Numbers = npt.NDArray[np.float64]


class LessonSaid(StrEnum):
    """The only things said of a lesson."""

    BETTER = "likely_better_since_the_lesson"
    TOO_EARLY = "too_early_to_tell"
    CANNOT_BE_TOLD = "cannot_be_told"


class Windows(NamedTuple):
    """The days compared: from ``since`` to before ``until``; from ``taught`` to before ``end``."""

    since: date
    until: date
    taught: date
    end: date

    def after(self, day: date) -> bool | None:
        """Whether a day is after the lesson; None: in neither window.

        >>> windows(date(2026, 11, 23)).after(date(2026, 11, 1)) is None
        True
        """
        if self.taught <= day < self.end:
            return True
        return False if self.since <= day < self.until else None

    def shares(self, other: date) -> bool:
        """Whether a change may be due to a lesson of another day as well.

        Its four weeks reach into the time from this lesson on that is compared.

        >>> windows(date(2026, 11, 23)).shares(date(2026, 10, 27))
        True
        """
        return self.taught - timedelta(weeks=SHOWN_WEEKS) < other < self.end


def windows(taught: date) -> Windows:
    """What is compared about a lesson taught on a day.

    >>> windows(date(2026, 11, 23)).until
    datetime.date(2026, 10, 26)
    """
    until, compared = taught - timedelta(weeks=SHOWN_WEEKS), timedelta(weeks=COMPARED_WEEKS)
    return Windows(until - compared, until, taught, taught + compared)


class Answer(NamedTuple):
    """Opportunities of one member, on an as-drawn scramble or set in one of the windows.

    ``about``: an idea, or a habit (then every plan is an opportunity, and
    ``good`` are those without it). ``part``: the scramble, or the set where
    counts are kept by set. ``taught``: to this member. An idea's controls are
    other ideas of the same members, taught to none of them; a habit's are
    members who were not taught. ``good`` of the opportunities, ``of`` in all.
    """

    member: int
    about: str
    part: int
    after: bool
    taught: bool
    good: int
    of: int = 1


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """Some members' opportunities before and after a lesson, of those who had some in both."""

    members: int
    before: Tally
    after: Tally


def before_after(answers: Iterable[Answer]) -> BeforeAfter:
    """Add up what was taught, of the members who had opportunities in both windows.

    >>> before_after([Answer(1, "a", 1, False, True, 1, 4), Answer(1, "a", 2, True, True, 3, 4)])
    BeforeAfter(members=1, before=Tally(answered=1, called=4), after=Tally(answered=3, called=4))
    """
    found: dict[int, list[list[int]]] = defaultdict(lambda: [[0, 0], [0, 0]])
    for one in answers:
        if one.taught:
            found[one.member][one.after][0] += one.good
            found[one.member][one.after][1] += one.of
    both = [each for each in found.values() if each[0][1] and each[1][1]]
    before, after = (
        Tally(sum(each[window][0] for each in both), sum(each[window][1] for each in both))
        for window in (0, 1)
    )
    return BeforeAfter(len(both), before, after)


@dataclass(frozen=True, slots=True)
class LessonChange:
    """How rates changed, of members with opportunities in both windows.

    ``taught`` and ``control``: after less before; ``difference`` of the two,
    with its interval; all -1 to 1.
    """

    members: int
    taught: float
    control: float
    difference: Interval

    @property
    def said(self) -> LessonSaid:
        """What a page may say."""
        return LessonSaid.BETTER if self.difference.low > 0 else LessonSaid.TOO_EARLY


def change_of(
    answers: Iterable[Answer], scrambles: Mapping[int, int] | None = None, level: float = LEVEL
) -> LessonChange | LessonSaid:
    """Tell what changed, or why that cannot be told.

    ``scrambles``: how many each part has, where parts are sets; None: parts are
    scrambles. Changes are taken within each member and idea, so that who planned
    more in one window does not matter, and are averaged with the weights of Cochran
    (1954, Biometrics 10:417-451): b a / (b + a) for b opportunities before and
    a after. The interval is of a bootstrap that draws members and parts
    anew, each with all that is theirs (Owen 2007, Annals of Applied Statistics
    1:386-411; from memory), its level widened where there are few parts, or few
    members on either side. Without a control: LessonSaid.CANNOT_BE_TOLD; with
    fewer than LEAST_MEMBERS, or LEAST_SCRAMBLES or LEAST_PARTS in a window:
    LessonSaid.TOO_EARLY.
    """
    table = _Table.of(list(answers))
    if table is None or not table.taught.any():
        return LessonSaid.TOO_EARLY
    if table.taught_members < LEAST_MEMBERS:
        return LessonSaid.TOO_EARLY
    if table.taught.all() or table.control_members < LEAST_MEMBERS:
        return LessonSaid.CANNOT_BE_TOLD
    parts = table.fewest_parts(None)
    least = table.fewest_parts(scrambles) if scrambles is not None else parts
    if least < LEAST_SCRAMBLES or parts < LEAST_PARTS:
        return LessonSaid.TOO_EARLY
    everyone = np.ones((1, table.members))
    ones = [np.ones((1, hits.shape[1])) for hits in table.hits]
    taught, control = (one.item() for one in table.changes(everyone, ones))
    differences = np.concatenate([with_ - without for with_, without in table.drawn_changes()])
    level = widened(level, min(parts, table.fewest_members))
    low, high = np.nanquantile(differences, [(1 - level) / 2, (1 + level) / 2])
    difference = Interval(taught - control, float(low), float(high))
    return LessonChange(table.taught_members, taught, control, difference)


def _drawn(source: np.random.Generator, count: int) -> _Numbers:
    """How often each of some things is drawn, for each draw of all of them."""
    return source.multinomial(count, np.full(count, 1 / count), _DRAWS).astype(float)


class _Row(NamedTuple):
    """What opportunities are added up by, over all scrambles."""

    member: int
    about: str
    taught: bool


@dataclass(frozen=True, slots=True)
class _Table:
    """Answers added up by row (a member and what it is about), window and part.

    ``taught``, ``member``: by row; ``other_members``: whether the control is of
    members who were not taught; ``hits``, ``counts``: before and after, row ×
    part of that window; ``parts``: which each column is.
    """

    members: int
    taught: npt.NDArray[np.bool_]
    member: npt.NDArray[np.int64]
    other_members: bool
    parts: Sequence[Sequence[int]]
    hits: Sequence[_Numbers]
    counts: Sequence[_Numbers]

    @classmethod
    def of(cls, answers: Sequence[Answer]) -> _Table | None:
        """None: nobody had opportunities in both windows."""
        kept = _compared(answers)
        if not kept:
            return None
        places: list[dict[int, int]] = [{}, {}]
        for row in kept.values():
            for one in row:
                places[one.after].setdefault(one.part, len(places[one.after]))
        hits, counts = ([np.zeros((len(kept), len(place))) for place in places] for _ in range(2))
        for number, row in enumerate(kept.values()):
            for one in row:
                at = number, places[one.after][one.part]
                counts[one.after][at] += one.of
                hits[one.after][at] += one.good
        who = {
            member: place for place, member in enumerate(dict.fromkeys(row.member for row in kept))
        }
        taught_about = {row.about for row in kept if row.taught}
        return cls(
            members=len(who),
            taught=np.array([row.taught for row in kept]),
            member=np.array([who[row.member] for row in kept]),
            other_members=any(row.about in taught_about for row in kept if not row.taught),
            parts=[tuple(place) for place in places],
            hits=hits,
            counts=counts,
        )

    @property
    def taught_members(self) -> int:
        """How many members were taught."""
        return len(set(self.member[self.taught].tolist()))

    @property
    def control_members(self) -> int:
        """How many others there are to compare with; where ideas are, they are the same ones."""
        if not self.other_members:
            return self.taught_members
        return len(set(self.member[~self.taught].tolist()))

    @property
    def fewest_members(self) -> int:
        """Members on the side with fewer, where members are compared with others.

        Where each is compared with him- or herself, members differ in little but chance.
        """
        if not self.other_members:
            return len(self.parts[0]) + len(self.parts[1])
        return min(self.taught_members, self.control_members)

    def fewest_parts(self, scrambles: Mapping[int, int] | None) -> int:
        """Parts that say something of what was taught, or the scrambles in them.

        In the window with fewer of them.
        """
        found = []
        for parts, counts in zip(self.parts, self.counts, strict=True):
            says = (counts[self.taught].sum(axis=0) > 0).tolist()
            told = [part for part, there in zip(parts, says, strict=True) if there]
            found.append(sum(1 if scrambles is None else scrambles[part] for part in told))
        return min(found)

    def drawn_changes(self) -> Iterator[tuple[_Numbers, ...]]:
        """The changes of all draws, some draws at a time."""
        source = np.random.default_rng(_SEED)
        members = _drawn(source, self.members)
        parts = [_drawn(source, hits.shape[1]) for hits in self.hits]
        step = max(1, _AT_ONCE // len(self.taught))
        for first in range(0, _DRAWS, step):
            some = slice(first, first + step)
            yield self.changes(members[some], [one[some] for one in parts])

    def changes(self, members: _Numbers, parts: Sequence[_Numbers]) -> tuple[_Numbers, ...]:
        """The mean change in what was taught and in what was not, for each draw.

        ``members``: draw × member, ``parts``: of each window, draw × part: how
        often each is drawn. Not a number where a draw says nothing.
        """
        before, after = (drawn @ counts.T for drawn, counts in zip(parts, self.counts, strict=True))
        with np.errstate(invalid="ignore", divide="ignore"):
            rates = [
                drawn @ hits.T / count
                for drawn, hits, count in zip(parts, self.hits, (before, after), strict=True)
            ]
            weights = members[:, self.member] * before * after / (before + after)
            weights = np.where(before * after > 0, weights, 0.0)
            changed = np.where(weights > 0, rates[1] - rates[0], 0.0)
            return tuple(
                (weights[:, rows] * changed[:, rows]).sum(1) / weights[:, rows].sum(1)
                for rows in (self.taught, ~self.taught)
            )


def _compared(answers: Sequence[Answer]) -> dict[_Row, list[Answer]]:
    """What is compared, by row: only rows with opportunities in both windows.

    What was not taught is left out where there is little of it, and other ideas of members of whom
    nothing is known about the one that was taught.
    """
    seen: Counter[tuple[str, bool]] = Counter()
    for one in answers:
        if not one.taught:
            seen[one.about, one.after] += one.of
    rows: dict[_Row, list[Answer]] = defaultdict(list)
    for one in answers:
        few = min(seen[one.about, False], seen[one.about, True]) < LEAST_CONTROL
        if one.of and (one.taught or not few):
            rows[_Row(one.member, one.about, one.taught)].append(one)
    both = {key: row for key, row in rows.items() if len({one.after for one in row}) == 2}
    about = {key.about for key in both if key.taught}
    theirs = {key.member for key in both if key.taught}
    return {
        key: row
        for key, row in both.items()
        if key.taught or key.about in about or key.member in theirs
    }
