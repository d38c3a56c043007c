"""Which techniques traces use, and where: the kernels of all techniques, put together as one.

A mask has eight places. Those that no technique takes yet are taken by
:func:`never`, which leaves nothing in the compiled code. Written out, because
kernels called by way of a tuple or a chain are not inlined, which makes the
atlas half as slow again and more.
"""

from __future__ import annotations

from typing import Final

from solverworker.causes.listing import MOST_IDEAS
from solverworker.search.compiling import kernel
from solverworker.techniques.registry import TECHNIQUES
from solverworker.techniques.trace import TRACE_ARRAYS, Bytes, Numbers, fill_trace


@kernel(f"int64({TRACE_ARRAYS})")
def never(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> int:
    """Say of no turn that anything happens in it."""
    return 0


_OWN: Final = [technique.kernel for technique in TECHNIQUES.values()]
FIRST, SECOND, THIRD, FOURTH, FIFTH, SIXTH, SEVENTH, EIGHTH = _OWN + [never] * (
    MOST_IDEAS - len(_OWN)
)
"""The kernels by their bit in a mask."""


@kernel(f"uint8({TRACE_ARRAYS})")
def mask_of_trace(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> int:
    """Return the mask of the techniques that a trace uses."""
    mask = 0
    if FIRST(edges, turns, moment, ends, settle, length, moments):
        mask |= 1
    if SECOND(edges, turns, moment, ends, settle, length, moments):
        mask |= 2
    if THIRD(edges, turns, moment, ends, settle, length, moments):
        mask |= 4
    if FOURTH(edges, turns, moment, ends, settle, length, moments):
        mask |= 8
    if FIFTH(edges, turns, moment, ends, settle, length, moments):
        mask |= 16
    if SIXTH(edges, turns, moment, ends, settle, length, moments):
        mask |= 32
    if SEVENTH(edges, turns, moment, ends, settle, length, moments):
        mask |= 64
    if EIGHTH(edges, turns, moment, ends, settle, length, moments):
        mask |= 128
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
        moments = fill_trace(code, sequences[row], length, edges, moment, ends, settle)
        out[row] = mask_of_trace(edges, sequences[row], moment, ends, settle, length, moments)


@kernel(
    "void(int64, uint8[:, ::1], int64, uint8[:, ::1], int64[::1], int64[::1], int64[::1], "
    "int64[:, ::1])"
)
def fill_places(
    code: int,
    sequences: Bytes,
    length: int,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    out: Numbers,
) -> None:
    """Fill, for each sequence, the turns at which each technique happens (bits; 8 columns)."""
    for row in range(sequences.shape[0]):
        turns = sequences[row]
        moments = fill_trace(code, turns, length, edges, moment, ends, settle)
        out[row, 0] = FIRST(edges, turns, moment, ends, settle, length, moments)
        out[row, 1] = SECOND(edges, turns, moment, ends, settle, length, moments)
        out[row, 2] = THIRD(edges, turns, moment, ends, settle, length, moments)
        out[row, 3] = FOURTH(edges, turns, moment, ends, settle, length, moments)
        out[row, 4] = FIFTH(edges, turns, moment, ends, settle, length, moments)
        out[row, 5] = SIXTH(edges, turns, moment, ends, settle, length, moments)
        out[row, 6] = SEVENTH(edges, turns, moment, ends, settle, length, moments)
        out[row, 7] = EIGHTH(edges, turns, moment, ends, settle, length, moments)
