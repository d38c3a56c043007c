"""Before and after a lesson: the members' own change, less their change in what was not taught.

A lesson is chosen after a bad month, so the next month is better by itself
(regression to the mean), and members get better at everything meanwhile. So
the month that made the coach choose belongs to neither window, and what was
taught is compared with what was not: a difference of differences.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from training.pooled import LEAST_SCRAMBLES
from training.statistics import LEVEL, Interval

SHOWN_WEEKS, BEFORE_WEEKS = 4, 8
"""What the chooser is shown, and what lies before that and is compared."""

LEAST_CONTROL = 20
"""What was not taught is a control when there are so many of it in both windows."""

LEAST_MEMBERS = 2
"""Nothing is ever claimed of one member."""

_DRAWS = 1999
_SEED = 10
"""The same answers give the same interval, on every machine."""

_Numbers = npt.NDArray[np.float64]


class LessonSaid(StrEnum):
    """The only things said of a lesson."""

    BETTER = "likely_better_since_the_lesson"
    TOO_EARLY = "too_early_to_tell"
    CANNOT_BE_TOLD = "cannot_be_told"


class Windows(NamedTuple):
    """The days compared: from ``since`` to before ``until``, then from ``taught`` on."""

    since: date
    until: date
    taught: date

    def after(self, day: date) -> bool | None:
        """Whether a day is after the lesson; None: in neither window.

        >>> windows(date(2026, 11, 23)).after(date(2026, 11, 1)) is None
        True
        """
        if day >= self.taught:
            return True
        return False if self.since <= day < self.until else None


def windows(taught: date) -> Windows:
    """What is compared about a lesson taught on a day.

    >>> windows(date(2026, 11, 23)).until
    datetime.date(2026, 10, 26)
    """
    until = taught - timedelta(weeks=SHOWN_WEEKS)
    return Windows(until - timedelta(weeks=BEFORE_WEEKS), until, taught)


class Answer(NamedTuple):
    """One opportunity of one member, on an as-drawn scramble in one of the windows.

    ``about``: an idea, or a habit (then every plan is an opportunity and
    ``good`` that it was without it). ``taught``: to this member. An idea's
    controls are other ideas of the same members, taught to none of them; a
    habit's are members who were not taught.
    """

    member: int
    about: str
    scramble: int
    after: bool
    taught: bool
    good: bool


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


def change_of(answers: Iterable[Answer], level: float = LEVEL) -> LessonChange | LessonSaid:
    """Tell what changed, or why that cannot be told.

    Changes are taken within each member and idea, so that who planned more in
    one window does not matter, and are averaged with the weights of Cochran
    (1954, Biometrics 10:417-451): b a / (b + a) for b opportunities before and
    a after. The interval is of a bootstrap that draws members and scrambles
    anew, each with all that is theirs (Owen 2007, Annals of Applied Statistics
    1:386-411; from memory). Without a control: LessonSaid.CANNOT_BE_TOLD; with fewer
    than LEAST_MEMBERS, or LEAST_SCRAMBLES in a window: LessonSaid.TOO_EARLY.
    """
    table = _Table.of(list(answers))
    if table is None or not table.taught.any():
        return LessonSaid.TOO_EARLY
    if table.taught.all():
        return LessonSaid.CANNOT_BE_TOLD
    members = len(set(table.member[table.taught].tolist()))
    if members < LEAST_MEMBERS or table.fewest_scrambles < LEAST_SCRAMBLES:
        return LessonSaid.TOO_EARLY
    everyone = np.ones((1, table.members))
    ones = [np.ones((1, hits.shape[1])) for hits in table.hits]
    taught, control = (one.item() for one in table.changes(everyone, ones))
    source = np.random.default_rng(_SEED)
    drawn = [_drawn(source, weights.shape[1]) for weights in (everyone, *ones)]
    with_, without = table.changes(drawn[0], drawn[1:])
    low, high = np.nanquantile(with_ - without, [(1 - level) / 2, (1 + level) / 2])
    difference = Interval(taught - control, float(low), float(high))
    return LessonChange(members, taught, control, difference)


def _drawn(source: np.random.Generator, count: int) -> _Numbers:
    """How often each of some things is drawn, for each draw of all of them."""
    return source.multinomial(count, np.full(count, 1 / count), _DRAWS).astype(float)


@dataclass(frozen=True, slots=True)
class _Table:
    """Answers added up by row (a member and what it is about), window and scramble.

    ``taught``, ``member``: by row; ``hits``, ``counts``: before and after, row
    × scramble of that window.
    """

    members: int
    taught: npt.NDArray[np.bool_]
    member: npt.NDArray[np.int64]
    hits: Sequence[_Numbers]
    counts: Sequence[_Numbers]

    @classmethod
    def of(cls, answers: Sequence[Answer]) -> _Table | None:
        """None: nobody had opportunities in both windows."""
        seen = Counter((one.about, one.after) for one in answers if not one.taught)
        rows: dict[tuple[int, str, bool], list[Answer]] = defaultdict(list)
        for one in answers:
            few = min(seen[one.about, False], seen[one.about, True]) < LEAST_CONTROL
            if one.taught or not few:
                rows[one.member, one.about, one.taught].append(one)
        kept = {key: row for key, row in rows.items() if len({one.after for one in row}) == 2}
        if not kept:
            return None
        places: list[dict[int, int]] = [{}, {}]
        for row in kept.values():
            for one in row:
                places[one.after].setdefault(one.scramble, len(places[one.after]))
        hits, counts = ([np.zeros((len(kept), len(place))) for place in places] for _ in range(2))
        for number, row in enumerate(kept.values()):
            for one in row:
                at = number, places[one.after][one.scramble]
                counts[one.after][at] += 1
                hits[one.after][at] += one.good
        who = {member: place for place, member in enumerate(dict.fromkeys(key[0] for key in kept))}
        return cls(
            members=len(who),
            taught=np.array([taught for _, _, taught in kept]),
            member=np.array([who[member] for member, _, _ in kept]),
            hits=hits,
            counts=counts,
        )

    @property
    def fewest_scrambles(self) -> int:
        """Scrambles that say something of what was taught, in the window with fewer of them."""
        return min(int(counts[self.taught].any(axis=0).sum()) for counts in self.counts)

    def changes(self, members: _Numbers, scrambles: Sequence[_Numbers]) -> tuple[_Numbers, ...]:
        """The mean change in what was taught and in what was not, for each draw.

        ``members``: draw × member, ``scrambles``: of each window, draw × scramble:
        how often each is drawn. Not a number where a draw says nothing.
        """
        before, after = (
            drawn @ counts.T for drawn, counts in zip(scrambles, self.counts, strict=True)
        )
        with np.errstate(invalid="ignore", divide="ignore"):
            rates = [
                drawn @ hits.T / count
                for drawn, hits, count in zip(scrambles, self.hits, (before, after), strict=True)
            ]
            weights = members[:, self.member] * before * after / (before + after)
            weights = np.where(before * after > 0, weights, 0.0)
            changed = np.where(weights > 0, rates[1] - rates[0], 0.0)
            return tuple(
                (weights[:, rows] * changed[:, rows]).sum(1) / weights[:, rows].sum(1)
                for rows in (self.taught, ~self.taught)
            )
