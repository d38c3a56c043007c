"""Which techniques a complete solving sequence uses: one sequence, or many at once."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from solverworker.cube.cross import CrossState
from solverworker.search.compiling import kernel
from solverworker.techniques import (
    base_turn,
    flipped_insert,
    relative_build,
    shared_turn,
    step_aside,
)
from solverworker.techniques.base_turn import base_turn_kernel
from solverworker.techniques.course import COURSE, ROOM, Bytes, Course, Numbers, fill_course
from solverworker.techniques.flipped_insert import flipped_insert_kernel
from solverworker.techniques.registry import TECHNIQUES
from solverworker.techniques.relative_build import relative_build_kernel
from solverworker.techniques.shared_turn import shared_turn_kernel
from solverworker.techniques.step_aside import step_aside_kernel

# The order gives each its bit, and must be that of `mask_of_course`.
for _module in (relative_build, base_turn, shared_turn, flipped_insert, step_aside):
    TECHNIQUES.register(_module.TECHNIQUE)


def used(state: CrossState, turns: Iterable[int]) -> frozenset[str]:
    """Return the codes of the techniques that a complete solving sequence uses.

    ``state``: the cross before it, cross colour at the bottom; ``turns``: 0 to
    17, any sequence (it is brought to normal form first). Plain Python,
    straight from the definitions. Raises ValueError when the turns do not
    solve the state.

    >>> from solverworker.cube.cross import after
    >>> sorted(used(after([3, 9]), [11, 5]))  # R D, then D' R'
    ['base_turn']
    """
    course = Course.of(state, turns)
    return frozenset(code for code, technique in TECHNIQUES.items() if technique.where(course))


def codes_of_mask(mask: int) -> frozenset[str]:
    """Return the codes of the techniques in a mask.

    >>> sorted(codes_of_mask(0b101))
    ['relative_build', 'shared_turn']
    """
    return _CODES_OF_MASK[mask]


def mask_of_codes(codes: Iterable[str]) -> int:
    """Return the mask of some techniques. Raises ValueError for an unknown code.

    >>> mask_of_codes(["relative_build", "shared_turn"])
    5
    """
    order = list(TECHNIQUES)
    mask = 0
    for code in codes:
        if code not in TECHNIQUES:
            raise ValueError(f"`{code[:24]}` is no technique. There are {', '.join(order)}.")
        mask |= 1 << order.index(code)
    return mask


_CODES_OF_MASK = tuple(
    frozenset(code for bit, code in enumerate(TECHNIQUES) if mask >> bit & 1)
    for mask in range(1 << len(TECHNIQUES))
)


@kernel(f"uint8({COURSE})")
def mask_of_course(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> int:
    """Return the mask of the techniques that a course uses."""
    mask = 0
    if relative_build_kernel(edges, turns, moment, ends, settle, length, moments):
        mask |= 1
    if base_turn_kernel(edges, turns, moment, ends, settle, length, moments):
        mask |= 2
    if shared_turn_kernel(edges, turns, moment, ends, settle, length, moments):
        mask |= 4
    if flipped_insert_kernel(edges, turns, moment, ends, settle, length, moments):
        mask |= 8
    if step_aside_kernel(edges, turns, moment, ends, settle, length, moments):
        mask |= 16
    return mask


@kernel(
    "void(int64, uint8[:, ::1], int64, uint8[:, ::1], int64[::1], int64[::1], int64[::1], "
    "uint8[::1])"
)
def fill_masks(
    code: int,
    sequences: Bytes,
    length: int,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    out: Bytes,
) -> None:
    """Fill the mask of each sequence (a row, ``length`` turns) from the state with a code."""
    for row in range(sequences.shape[0]):
        moments = fill_course(code, sequences[row], length, edges, moment, ends, settle)
        out[row] = mask_of_course(edges, sequences[row], moment, ends, settle, length, moments)


def masks(
    code: int, sequences: npt.NDArray[np.uint8], length: int | None = None
) -> npt.NDArray[np.uint8]:
    """Return the mask of techniques of each of many sequences that solve one state.

    ``code``: of the state; ``sequences``: uint8, count × width, each row
    ``length`` turns (all of the width unless told) in normal form that solve
    it. That they do is not checked. Returns uint8, count; bit by the
    order of :data:`TECHNIQUES`. Raises ValueError when they are longer than
    any plan can be.

    >>> from solverworker.search.cross import SOLVED_CODE
    >>> masks(SOLVED_CODE, np.empty((1, 0), dtype=np.uint8)).tolist()
    [0]
    """
    length = sequences.shape[1] if length is None else length
    if length > ROOM:
        raise ValueError(f"A sequence has at most {ROOM} turns, not {length}.")
    out = np.empty(len(sequences), dtype=np.uint8)
    fill_masks(code, np.ascontiguousarray(sequences), length, *scratch(), out)
    return out


@kernel(
    "void(int64, uint8[:, ::1], int64, uint8[:, ::1], int64[::1], int64[::1], int64[::1], "
    "int64[:, ::1])"
)
def fill_marks(
    code: int,
    sequences: Bytes,
    length: int,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    out: Numbers,
) -> None:
    """Fill, for each sequence and technique, the turns at which it happens (as bits)."""
    for row in range(sequences.shape[0]):
        turns = sequences[row]
        m = fill_course(code, turns, length, edges, moment, ends, settle)
        out[row, 0] = relative_build_kernel(edges, turns, moment, ends, settle, length, m)
        out[row, 1] = base_turn_kernel(edges, turns, moment, ends, settle, length, m)
        out[row, 2] = shared_turn_kernel(edges, turns, moment, ends, settle, length, m)
        out[row, 3] = flipped_insert_kernel(edges, turns, moment, ends, settle, length, m)
        out[row, 4] = step_aside_kernel(edges, turns, moment, ends, settle, length, m)


def places(
    code: int, sequences: npt.NDArray[np.uint8], length: int
) -> list[dict[str, tuple[int, ...]]]:
    """Return where each of many short sequences uses each technique that it uses.

    As :func:`masks`, but ``length`` is at most 62. For each sequence: the
    places of the turns (from 0) by technique.

    >>> from solverworker.cube.cross import after, code
    >>> places(code(after([3, 9])), np.array([[11, 5]], dtype=np.uint8), 2)  # R D, then D' R'
    [{'base_turn': (0,)}]
    """
    if length > _MARKED:
        raise ValueError(f"Places are told of at most {_MARKED} turns, not {length}.")
    out = np.empty((len(sequences), len(TECHNIQUES)), dtype=np.int64)
    fill_marks(code, np.ascontiguousarray(sequences), length, *scratch(), out)
    return [
        {
            technique: tuple([index for index in range(length) if bits >> index & 1])
            for technique, bits in zip(TECHNIQUES, row, strict=True)
            if bits
        }
        for row in out.tolist()
    ]


_MARKED = 62
"""How many turns have a bit of their own (see :func:`course.turn_bit`)."""


def mask(code: int, turns: Iterable[int]) -> int:
    """Return the mask of techniques of one sequence in normal form; see :func:`masks`."""
    return int(masks(code, np.frombuffer(bytearray(turns), dtype=np.uint8)[None, :])[0])


def scratch() -> tuple[Bytes, Numbers, Numbers, Numbers]:
    """Return arrays for one course: edges, moment, ends, settle."""
    return (
        np.empty((ROOM + 1, 4), dtype=np.uint8),
        np.empty(ROOM + 1, dtype=np.int64),
        np.empty(ROOM + 1, dtype=np.int64),
        np.empty(4, dtype=np.int64),
    )
