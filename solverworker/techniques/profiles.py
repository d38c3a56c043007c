"""Profiles of crosses: how many match, and scrambles drawn uniformly among those that do.

For one colour the count is exact and comes from the atlas at once. For
several allowed colours a profile is about the member's best colour: the one
with the smallest distance, the first in the order of COLOURS among equals.
Such states, and those with a wanted first pair, are found by drawing and
looking, with a bound.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.causes import IDEAS
from solverworker.cube.chance import Source, complete, needs_two_turns
from solverworker.cube.colours import CENTRES, pick_colours
from solverworker.cube.cross import CODE_COUNT, SOLVED, CrossState, code, unrank
from solverworker.cube.holds import HOLDS, UNLABEL, rotate
from solverworker.cube.in_hold import DOWN, EDGES_IN_HOLD, seen_in
from solverworker.cube.turns import write_turns
from solverworker.cube.whole import Cube
from solverworker.search import pair
from solverworker.search.cross import MAX_SOLUTIONS, codes, distance_of_code
from solverworker.search.pair_kernels import ROW
from solverworker.search.scramble import turns_to
from solverworker.techniques.atlas_maker import atlas
from solverworker.techniques.using import mask_of_codes

Range = tuple[int, int]

LENGTHS: Final[Range] = (0, 8)
SOLUTIONS: Final[Range] = (1, MAX_SOLUTIONS)
PAIR_LENGTHS: Final[Range] = (0, pair.MAX_PAIR_DISTANCE)

MOST_TRIES: Final = 20_000
"""How many states are looked at for one scramble before giving up."""


@dataclass(frozen=True, slots=True)
class Profile:
    """What is asked of a cross.

    ``colours``: the allowed cross colours. ``lengths``: least and greatest
    distance. ``called``: techniques that every shortest solution uses.
    ``solutions``: least and greatest number of shortest solutions.
    ``with_pair``: least and greatest length of the best cross and first pair,
    over the four slots. Raises ValueError for what is no range, no colour or
    no technique.
    """

    colours: tuple[str, ...] = ("yellow",)
    lengths: Range = LENGTHS
    called: frozenset[str] = frozenset()
    solutions: Range = SOLUTIONS
    with_pair: Range = PAIR_LENGTHS

    def __post_init__(self) -> None:
        pick_colours(self.colours)
        mask_of_codes(self.called)
        for name in ("lengths", "solutions", "with_pair"):
            asked = getattr(self, name)
            if not isinstance(asked, tuple) or len(asked) != 2 or not 0 <= asked[0] <= asked[1]:
                raise ValueError(
                    f"`{name}` is a least and a greatest number, such as (5, 6), not {asked!r}."
                )

    @property
    def about_pair(self) -> bool:
        """Whether it asks anything of the first pair."""
        return self.with_pair[0] > PAIR_LENGTHS[0] or self.with_pair[1] < PAIR_LENGTHS[1]


class NoCrossMatches(ValueError):
    """A profile that no cross has; ``nearest`` is one like it that some have."""

    def __init__(self, nearest: Profile, change: str) -> None:
        super().__init__(f"No cross is like this. The nearest that there is: {change}.")
        self.nearest = nearest


class TooRare(RuntimeError):
    """A profile for which no state was found within the bound."""

    def __init__(self) -> None:
        super().__init__(
            f"No such scramble among {MOST_TRIES:,} states looked at. "
            "Allow one colour, or more lengths."
        )


def matching(profile: Profile) -> int:
    """Return how many of the 190,080 crosses match a profile (of one colour, exactly).

    What is asked of the first pair counts a cross when its pairs can stand so
    by the lengths that each slot alone allows.

    >>> matching(Profile(lengths=(8, 8)))
    102
    """
    return int(np.count_nonzero(_matches(profile)))


def nearest(profile: Profile) -> tuple[Profile, str]:
    """Return the profile nearest to one that no cross has, and the change in words.

    Tried in this order: other lengths, the nearest first; without one of the
    techniques; any number of solutions; any first pair; any cross at all.
    """
    least, most = profile.lengths
    by_distance = sorted(range(9), key=lambda d: (max(least - d, d - most, 0), d))
    tries = [
        (replace(profile, lengths=(length, length)), f"crosses of {length} moves")
        for length in by_distance
    ]
    tries += [
        (replace(profile, called=profile.called - {code}), f"without a {IDEAS[code].name}")
        for code in sorted(profile.called)
    ]
    tries += [
        (replace(profile, solutions=SOLUTIONS), "any number of shortest solutions"),
        (replace(profile, with_pair=PAIR_LENGTHS), "any first pair"),
        (Profile(profile.colours, profile.lengths), "any cross of these lengths"),
    ]
    for other, change in tries:
        if matching(other):
            return other, change
    return Profile(profile.colours), "any cross"


def draw_state(profile: Profile, source: Source) -> tuple[Cube, int]:
    """Return a random state that matches a profile, and the hold in which it is seen.

    Uniform over all states of the whole cube that need at least two turns and
    match. The state is as seen in the hold, which has the profile's colour at
    the bottom. Raises NoCrossMatches and TooRare.
    """
    ranks = _ranks(profile)
    if not len(ranks):
        raise NoCrossMatches(*nearest(profile))
    allowed = pick_colours(profile.colours)
    if profile.about_pair:
        pair.table()
    for _ in range(MOST_TRIES):
        colour = allowed[source.randrange(len(allowed))]
        cross = unrank(int(ranks[source.randrange(len(ranks))]))
        cube = complete(dict(zip(range(8, 12), cross, strict=True)), source)
        hold = DOWN[CENTRES[colour]]
        if (
            needs_two_turns(cube)
            and _best_colour(cube, hold, allowed) == colour
            and (not profile.about_pair or _inside(best_pair(cube), profile.with_pair))
        ):
            return cube, hold
    raise TooRare


def draw_picked(profile: Profile, source: Source) -> str:
    """Return a scramble whose cross matches a profile.

    >>> from solverworker.cube.chance import Stream
    >>> from solverworker.review import solve
    >>> text = draw_picked(Profile(lengths=(7, 7)), Stream("lantern"))
    >>> solve(text, colours=["yellow"])["yellow"].best
    7
    """
    cube, hold = draw_state(profile, source)
    unlabel = UNLABEL[hold]
    return write_turns(unlabel[turn] for turn in turns_to(cube))


def best_pair(cube: Cube) -> int:
    """Return the length of the best cross and first pair of the bottom colour, over the slots."""
    table = pair.table()
    return min(
        table.distance(pair.number_of(seen.cross, seen.corners[4], seen.edges[4]))
        for quarters in range(4)
        for seen in [seen_in(cube, rotate(0, "y", quarters) if quarters else 0)]
    )


def _best_colour(cube: Cube, hold: int, allowed: Iterable[int]) -> int:
    """Return the allowed colour nearest to solved, of a state seen in a hold."""
    colours = list(allowed)
    if len(colours) == 1:
        return colours[0]
    return min(
        (distance_of_code(code(_cross_at(cube, HOLDS[hold].index(CENTRES[colour])))), colour)
        for colour in colours
    )[1]


def _cross_at(cube: Cube, face: int) -> CrossState:
    """Return the cross of the colour of a face."""
    return seen_in(cube, DOWN[face]).cross


def _inside(value: int, wanted: Range) -> bool:
    return wanted[0] <= value <= wanted[1]


@cache
def _ranks(profile: Profile) -> npt.NDArray[np.int64]:
    return np.flatnonzero(_matches(profile))


def _matches(profile: Profile) -> npt.NDArray[np.bool_]:
    held = atlas()
    mask = mask_of_codes(profile.called)
    found: npt.NDArray[np.bool_] = (
        (held.distance >= profile.lengths[0])
        & (held.distance <= profile.lengths[1])
        & (held.count >= profile.solutions[0])
        & (held.count <= profile.solutions[1])
        & (held.every & mask == mask)
    )
    if profile.about_pair:
        least, most = _pair_bounds()
        found &= (least <= profile.with_pair[1]) & (most >= profile.with_pair[0])
    return found


@cache
def _pair_bounds() -> tuple[npt.NDArray[np.uint8], npt.NDArray[np.uint8]]:
    """Return, by rank, the least and greatest best cross and pair that the slots allow."""
    rows = pair.table().packed.reshape(-1, ROW // 2)
    least = np.minimum((rows & 15).min(axis=1), (rows >> 4).min(axis=1))
    most = np.maximum((rows & 15).max(axis=1), (rows >> 4).max(axis=1))
    all_least, all_most = least.copy(), most.copy()
    ranks = np.arange(len(rows))
    for _ in range(3):
        ranks = _a_quarter_round()[ranks]
        all_least = np.minimum(all_least, least[ranks])
        all_most = np.minimum(all_most, most[ranks])
    return all_least, all_most


@cache
def _a_quarter_round() -> npt.NDArray[np.int64]:
    """Return, by rank, the rank of the cross seen a quarter turn round about the vertical."""
    seen = np.array(EDGES_IN_HOLD[rotate(0, "y", 1)])
    numbers = codes().astype(np.int64)
    there = np.empty((4, len(numbers)), dtype=np.int64)
    for index, home in enumerate(SOLVED):
        there[SOLVED.index(int(seen[home]))] = seen[numbers // 24 ** (3 - index) % 24]
    rank_of = np.full(CODE_COUNT, -1, dtype=np.int64)
    rank_of[codes()] = np.arange(len(numbers))
    result: npt.NDArray[np.int64] = rank_of[24 ** np.arange(3, -1, -1) @ there]
    return result
