"""Shortest solutions as a member would do them, the ones nearest to a plan first."""

from __future__ import annotations

from typing import NamedTuple

from solverworker.cube.holds import BOTTOMS, RELABEL
from solverworker.cube.moments import common_start, normal_form
from solverworker.cube.turns import TURN_NAMES
from solverworker.search.cross import solutions_of_code


class WrittenSolution(NamedTuple):
    """A shortest solution: its turns, as written after the rotation, and its text."""

    turns: tuple[int, ...]
    text: str


def written_solutions(code: int, centre: int, hold: int) -> list[WrittenSolution]:
    """Return every shortest solution of a colour, written from a hold, in canonical order.

    ``code``: the cross state as seen in ``BOTTOMS[hold][centre].hold``, that
    is after the rotation that brings the centre to the bottom; each text
    begins with that rotation.
    """
    start = BOTTOMS[hold][centre].rotation
    prefix = [start] if start else []
    names = TURN_NAMES
    return [
        WrittenSolution(tuple(row), " ".join(prefix + [names[turn] for turn in row]))
        for row in solutions_of_code(code).tolist()
    ]


def nearest_first(
    solutions: list[WrittenSolution], plan: tuple[int, ...], frame: int
) -> list[tuple[tuple[int, str], WrittenSolution]]:
    """Return solutions with their sort keys, the ones most like a plan first.

    ``plan``: turns of centres' faces; ``frame``: the hold in which the
    solutions are written. The order: longest common start, then text.
    """
    relabel = RELABEL[frame]
    own = normal_form([relabel[turn] for turn in plan])
    # The one place for the order: what a plan lacks and what is easy on the
    # hands go in front of the text here.
    return sorted(
        ((-common_start(own, normal_form(solution.turns)), solution.text), solution)
        for solution in solutions
    )
