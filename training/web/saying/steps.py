"""What the steps of a plan are called: the staircase, its table and its description agree."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

from solverworker.report import LedgerRow
from training.web.saying.counting import count
from training.web.saying.spoken import say_token


def say_step(row: LedgerRow) -> str:
    """Say what one token did, as the ledger table and the treads do.

    >>> say_step(LedgerRow("R", 1, 4, 0)), say_step(LedgerRow("z2", 0, 6, 0))
    ('one step nearer', 'turns the cube, costs nothing')
    >>> say_step(LedgerRow("D", 1, 5, 1))
    'lost 1 move'
    """
    if row.moves == 0:
        return _("turns the cube, costs nothing")
    if row.loss:
        return _("lost {moves}").format(moves=count(row.loss, "move"))
    return _("one step nearer") if row.moves == 1 else _("two steps nearer")


def say_left(distance: int) -> str:
    """How far from solved the cross is.

    >>> say_left(0), say_left(2)
    ('solved', '2 moves left')
    """
    if distance == 0:
        return _("solved")
    return _("{moves} left").format(moves=count(distance, "move"))


def say_after(token: str, distance: int) -> str:
    """Say where the cube stands after ``token``; before the first move when it is empty.

    >>> say_after("R'", 2), say_after("D", 0)
    ("After R': 2 moves left", 'After D: solved')
    """
    left = say_left(distance)
    if token:
        return _("After {token}: {left}").format(token=token, left=left)
    return _("Before the first move: {left}").format(left=left)


def say_tread(number: int, row: LedgerRow) -> str:
    """What a screen reader says of one tread of the staircase.

    ``number``: of the move, as moves count; a rotation has none, a slice two.

    >>> say_tread(1, LedgerRow("z2", 0, 6, 0))
    'z2, before move 1: turns the cube, costs nothing, 6 left'
    >>> say_tread(3, LedgerRow("M'", 2, 4, 0))
    'Moves 3 and 4, M counter-clockwise: two steps nearer, 4 left'
    """
    said = {
        0: _("{token}, before move {number}: {did}, {distance} left"),
        1: _("Move {number}, {token}: {did}, {distance} left"),
    }.get(row.moves, _("Moves {number} and {next}, {token}: {did}, {distance} left"))
    # A half turn keeps its sign, which stands on the tread: a name says what is seen.
    token = say_token(row.token) if row.token.endswith("'") else row.token
    return said.format(
        number=number,
        next=number + 1,
        token=token,
        did=say_step(row),
        distance=row.distance,
    )


def say_loss(loss: int) -> str:
    """The label of a lost move on the staircase.

    >>> say_loss(2)
    'lost 2'
    """
    return _("lost {number}").format(number=loss)


def describe(ledger: Sequence[LedgerRow], start: int, shortest: int | None) -> str:
    """The whole picture in words, for its description."""
    said = [_("Starts {moves} from solved.").format(moves=count(start, "move"))]
    said += [
        _("{token}: {did}, {distance} left.").format(
            token=row.token, did=say_step(row), distance=row.distance
        )
        for row in ledger
    ]
    if shortest is not None:
        said.append(
            _("Dotted: a shortest solution, {moves}.").format(moves=count(shortest, "move"))
        )
    return " ".join(said)
