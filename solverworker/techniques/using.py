"""Which techniques a complete solving sequence uses: one sequence, or many at once."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from solverworker.causes.listing import MOST_IDEAS
from solverworker.cube.cross import CrossState
from solverworker.techniques.mask_kernels import fill_masks, fill_places
from solverworker.techniques.registry import TECHNIQUES
from solverworker.techniques.trace import ROOM, Bytes, Numbers, Trace


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
    trace = Trace.of(state, turns)
    return frozenset(code for code, technique in TECHNIQUES.items() if technique.where(trace))


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
    mask = 0
    for code in codes:
        if code not in _BIT_OF_CODE:
            raise ValueError(f"`{code[:24]}` is no technique. There are {', '.join(TECHNIQUES)}.")
        mask |= _BIT_OF_CODE[code]
    return mask


_BIT_OF_CODE = {code: 1 << place for place, code in enumerate(TECHNIQUES)}
_CODES_OF_MASK = tuple(
    frozenset(code for bit, code in enumerate(TECHNIQUES) if mask >> bit & 1)
    for mask in range(1 << len(TECHNIQUES))
)


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
    out = np.empty((len(sequences), MOST_IDEAS), dtype=np.int64)
    fill_places(code, np.ascontiguousarray(sequences), length, *scratch(), out)
    return [
        {
            technique: tuple([index for index in range(length) if bits >> index & 1])
            for technique, bits in zip(TECHNIQUES, row, strict=False)
            if bits
        }
        for row in out.tolist()
    ]


_MARKED = 62
"""How many turns have a bit of their own (see :func:`trace.turn_bit`)."""


def mask(code: int, turns: Iterable[int]) -> int:
    """Return the mask of techniques of one sequence in normal form; see :func:`masks`."""
    return int(masks(code, np.frombuffer(bytearray(turns), dtype=np.uint8)[None, :])[0])


def scratch() -> tuple[Bytes, Numbers, Numbers, Numbers]:
    """Return arrays for one trace: edges, moment, ends, settle."""
    return (
        np.empty((ROOM + 1, 4), dtype=np.uint8),
        np.empty(ROOM + 1, dtype=np.int64),
        np.empty(ROOM + 1, dtype=np.int64),
        np.empty(4, dtype=np.int64),
    )
