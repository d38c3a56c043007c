"""Ideas that save moves: one file each, behind a register.

>>> from solverworker.cube.cross import after
>>> list(TECHNIQUES)
['relative_build', 'base_turn', 'shared_turn', 'flipped_insert', 'step_aside']
>>> sorted(used(after([3, 6]), [8, 5]))  # R F, then F' R'
['shared_turn']

To add one: a file like its neighbours (definition, example, the plain form,
the kernel), and its lines in :mod:`solverworker.techniques.using`.
"""

from solverworker.techniques.registry import TECHNIQUES, Technique
from solverworker.techniques.using import codes_of_mask, mask, mask_of_codes, masks, places, used

__all__ = [
    "TECHNIQUES",
    "Technique",
    "codes_of_mask",
    "mask",
    "mask_of_codes",
    "masks",
    "places",
    "used",
]
