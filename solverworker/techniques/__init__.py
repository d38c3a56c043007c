"""What the ideas are, exactly: which of them a sequence of turns uses, and where.

>>> from solverworker.cube.cross import after
>>> sorted(used(after([3, 6]), [8, 5]))  # R F, then F' R'
['shared_turn']

To add one: see :mod:`solverworker.causes`.
"""

from solverworker.techniques.registry import TECHNIQUES
from solverworker.techniques.technique import Technique
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
