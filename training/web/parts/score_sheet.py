"""The score sheet: a scramble in rows of five moves, so that a place is found again."""

from __future__ import annotations

MOVES_A_ROW = 5


ScoreSheet = tuple[tuple[str, ...], ...]
"""What ``parts/score_sheet.html`` needs: rows of moves."""


def score_sheet(scramble: str) -> ScoreSheet:
    """The moves of a scramble in rows of five.

    >>> score_sheet("R U F D L B R2")
    (('R', 'U', 'F', 'D', 'L'), ('B', 'R2'))
    """
    moves = scramble.split()
    return tuple(
        tuple(moves[start : start + MOVES_A_ROW]) for start in range(0, len(moves), MOVES_A_ROW)
    )
