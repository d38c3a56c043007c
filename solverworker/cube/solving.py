"""Which crosses stand solved after some turns: plain Python, for pages and slips alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final

from solverworker.cube.colours import CENTRES
from solverworker.cube.holds import follow_scramble, walk
from solverworker.cube.notation import parse
from solverworker.cube.pieces import EDGE_PLACES, EDGE_TURNS
from solverworker.cube.turns import FACES
from solverworker.report import COLOURS, PlanReport

Edges = tuple[int, ...]
"""Edge states (0 to 23): where some edges are, or where each of the 24 states is taken."""

STILL: Final[Edges] = tuple(range(24))

CROSS_HOMES: Final = tuple(
    tuple(2 * place for place, name in enumerate(EDGE_PLACES) if FACES[centre] in name)
    for centre in CENTRES
)
"""The homes of each colour's four edges, as edge states: the place unflipped."""


def turned_edges(edges: Edges, turns: Iterable[int]) -> Edges:
    """Return where edges are after turns of centres' faces."""
    for turn in turns:
        row = EDGE_TURNS[turn]
        edges = tuple([row[edge] for edge in edges])
    return edges


def stands_solved(edges: Sequence[int], colour: int) -> bool:
    """Whether the cross of a colour (its place in COLOURS) stands solved."""
    return all(edges[home] == home for home in CROSS_HOMES[colour])


@lru_cache(maxsize=4096)
def solved_crosses(scramble: str, plan: str) -> tuple[str, ...]:
    """Return the colours whose cross a plan solves after a scramble.

    Kept, because the same plans are looked at again with each plan of a set.
    Raises NotationError.

    >>> solved_crosses("R D", "D' R'")[:2], solved_crosses("R D", "D'")
    (('white', 'yellow'), ('orange',))
    """
    before = follow_scramble(scramble)
    own = walk(parse(plan), before.hold)
    edges = turned_edges(STILL, (*before.turns, *own.turns))
    return tuple([name for colour, name in enumerate(COLOURS) if stands_solved(edges, colour)])


def also_solved(
    report: PlanReport, colours: Sequence[str], scrambles: Iterable[tuple[int, str]]
) -> tuple[int, ...]:
    """Return which other scrambles an unsolved plan solves in a colour that is allowed.

    ``scrambles``: a number and a text each.
    """
    if report.solved or not report.ledger:
        return ()
    return tuple(
        number
        for number, text in scrambles
        if set(colours) & set(solved_crosses(text, report.canonical))
    )
