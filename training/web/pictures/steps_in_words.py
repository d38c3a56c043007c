"""What the steps of a staircase are called: its treads, its table and its description agree."""

from __future__ import annotations

from collections.abc import Sequence

from solverworker.report import LedgerRow


def count(number: int, word: str) -> str:
    """A number with its unit.

    >>> count(1, "move"), count(3, "move"), count(0, "move")
    ('1 move', '3 moves', '0 moves')
    """
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def say_step(row: LedgerRow) -> str:
    """Say what one token did, as the ledger table and the treads do.

    >>> say_step(LedgerRow("R", 1, 4, 0)), say_step(LedgerRow("z2", 0, 6, 0))
    ('one step nearer', 'turns the cube, costs nothing')
    >>> say_step(LedgerRow("D", 1, 5, 1))
    'lost 1 move'
    """
    if row.moves == 0:
        return "turns the cube, costs nothing"
    if row.loss:
        return f"lost {count(row.loss, 'move')}"
    return "one step nearer" if row.moves == 1 else "two steps nearer"


def say_after(token: str, distance: int) -> str:
    """Say where the cube stands after ``token``; before the first move when it is empty.

    >>> say_after("R'", 2), say_after("D", 0)
    ("After R': 2 moves left", 'After D: solved')
    """
    left = "solved" if distance == 0 else f"{count(distance, 'move')} left"
    return f"After {token}: {left}" if token else f"Before the first move: {left}"


def describe(ledger: Sequence[LedgerRow], start: int, shortest: int | None) -> str:
    """The whole picture in words, for its description."""
    said = [f"Starts {count(start, 'move')} from solved."]
    said += [f"{row.token}: {say_step(row)}, {row.distance} left." for row in ledger]
    if shortest is not None:
        said.append(f"Dotted: a shortest solution, {count(shortest, 'move')}.")
    return " ".join(said)
