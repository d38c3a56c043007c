"""JSON kept small: a value of the same few words in each row, deflated beside a list of them.

Reports are written once and read one at a time, so they need no column that a query can look
into; what queries ask of many at once has columns of its own. A thousand reports of real checks
took 1,566 bytes each as text, 131 so, and 13 instead of 10 microseconds to read
(``python -m tests.bench.kept_report``).
"""

from __future__ import annotations

import json
import zlib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.db import models

if TYPE_CHECKING:
    _Bytes = models.Field[Any, Any]
else:
    _Bytes = models.BinaryField

FORMAT = 1
"""The first byte of each value: by which words it was written. Newer words get a new number and a
file beside the old one, which is never changed."""

RAW = -zlib.MAX_WBITS
"""Deflate without a head (RFC 1951): the format's byte is one already."""


@cache
def _words(number: int) -> bytes:
    return Path(__file__).with_name(f"compact_{number}.txt").read_bytes()


def pack(value: Any) -> bytes:
    """Return ``value`` as it is kept: the format's byte, then its JSON in UTF-8, deflated.

    Raises:
        TypeError, ValueError: for what JSON does not have.

    Example:
        >>> unpack(pack({"solved": True, "moves": 6}))
        {'solved': True, 'moves': 6}
    """
    text = json.dumps(value, separators=(",", ":"), allow_nan=False).encode()
    packer = zlib.compressobj(9, zlib.DEFLATED, RAW, 9, zlib.Z_DEFAULT_STRATEGY, _words(FORMAT))
    return bytes([FORMAT]) + packer.compress(text) + packer.flush()


def unpack(kept: bytes) -> Any:
    """Return what :func:`pack` was given.

    Raises:
        ValueError: for what it has not written.
    """
    try:
        unpacker = zlib.decompressobj(RAW, _words(kept[0]))
        return json.loads(unpacker.decompress(kept[1:]) + unpacker.flush())
    except (IndexError, OSError, zlib.error) as error:
        raise ValueError(f"This was not kept as compact JSON: {error}") from error


class CompactJson(_Bytes):
    """Any JSON value that no query looks into; in Python the value itself."""

    def from_db_value(self, value: Any, expression: Any, connection: Any) -> Any:
        return None if value is None else unpack(bytes(value))

    def get_db_prep_value(self, value: Any, connection: Any, prepared: bool = False) -> Any:
        kept = None if value is None else pack(value)
        return super().get_db_prep_value(kept, connection, prepared)

    def to_python(self, value: Any) -> Any:
        """Text is what :meth:`value_to_string` wrote; anything else is the value."""
        return json.loads(value) if isinstance(value, str) else value

    def value_to_string(self, obj: models.Model) -> str:
        return json.dumps(self.value_from_object(obj))
