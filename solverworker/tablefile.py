"""Files of tables: made once, kept with version and checksum, mapped by every process.

A file is a header of one page (JSON, padded) and the arrays after it, each on
a page of its own. It is written beside its place, synced and renamed, under a
lock: a process that starts at the same time waits and then reads, and one
that still has the old file mapped keeps the old. A file that is damaged, cut
short or of another version is made again, with a warning. Where nothing can
be written the table is kept in memory.

Needs numpy alone, so any process may read tables.
"""

from __future__ import annotations

import contextlib
import json
import logging
import mmap
import os
import tempfile
import time
import zlib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from solverworker.folders import cache_home

Table = Mapping[str, npt.NDArray[Any]]

_LOG: Final = logging.getLogger(__name__)
_MAGIC: Final = "within-eight table 1"
_PAGE: Final = 4096
SUFFIX: Final = ".table"

KEPT_UNUSED_DAYS: Final = 30
"""A file of another version goes once nobody has read it for so long (other servers of this
account may run another version)."""


class TableFileError(Exception):
    """A file of tables that cannot be used: damaged, cut short, or none at all."""


def path_of(name: str, version: str) -> Path:
    """Return where the file of a table is kept. Raises RuntimeError without a home folder."""
    return cache_home() / f"{name}-{version}{SUFFIX}"


def load_or_make(name: str, version: str, make: Callable[[], Table]) -> Table:
    """Return a table: from its file or, when there is none that is sound, made and kept.

    ``name``: letters; ``version``: changes whenever the contents would;
    ``make``: gives the arrays by name. Arrays come back read-only.
    """
    with contextlib.suppress(TableFileError):
        return read(name, version)
    try:
        with _lock(name, version):
            try:
                return read(name, version)  # another process made it meanwhile
            except TableFileError as error:
                if not isinstance(error.__cause__, FileNotFoundError):
                    _LOG.warning("%s It is made again.", error)
            made = make()
            write(name, version, made)
            _prune(name, version)
        return read(name, version)
    except (OSError, RuntimeError, TableFileError) as error:
        _LOG.warning("The table `%s` cannot be kept (%s); this process makes its own.", name, error)
        return _sealed(make())


def read(name: str, version: str) -> Table:
    """Map a table's file. Raises TableFileError; size and checksum are looked at first."""
    try:
        path = path_of(name, version)
        with path.open("rb") as file:
            header = json.loads(file.read(_PAGE).rstrip(b"\0") or b"{}")
            size = os.fstat(file.fileno()).st_size
            if header.get("magic") != _MAGIC or (header["name"], header["version"]) != (
                name,
                version,
            ):
                raise ValueError("it is of another kind")
            if size != header["size"]:
                raise ValueError(f"it has {size} bytes, not {header['size']}")
            mapped = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
        if zlib.crc32(memoryview(mapped)[_PAGE:]) != header["crc32"]:
            raise ValueError("its checksum is wrong")
        with contextlib.suppress(OSError):
            os.utime(path)  # in use: see _prune
        return {
            part["name"]: np.frombuffer(
                mapped, part["dtype"], count=int(np.prod(part["shape"])), offset=part["offset"]
            ).reshape(part["shape"])
            for part in header["parts"]
        }
    except (OSError, RuntimeError, ValueError, KeyError, TypeError) as error:
        raise TableFileError(f"The file of the table `{name}` cannot be used: {error}.") from error


def write(name: str, version: str, table: Table) -> None:
    """Write a table's file atomically. Raises OSError or RuntimeError."""
    path = path_of(name, version)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    parts: list[dict[str, Any]] = []
    offset = _PAGE
    for part, array in table.items():
        about = {"name": part, "dtype": array.dtype.str, "shape": array.shape, "offset": offset}
        parts.append(about)
        offset += -(-array.nbytes // _PAGE) * _PAGE
    descriptor, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{name}-", suffix=".part")
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(b"\0" * _PAGE)
            checksum = 0
            for array in table.values():
                raw = np.ascontiguousarray(array).tobytes()
                raw += b"\0" * (-len(raw) % _PAGE)
                checksum = zlib.crc32(raw, checksum)
                file.write(raw)
            header = {
                "magic": _MAGIC,
                "name": name,
                "version": version,
                "size": offset,
                "crc32": checksum,
                "parts": parts,
            }
            file.seek(0)
            file.write(json.dumps(header).encode().ljust(_PAGE, b"\0"))
            file.flush()
            os.fsync(file.fileno())
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


@contextlib.contextmanager
def _lock(name: str, version: str) -> Iterator[None]:
    """Keep other processes from making the same table; a dead one's lock is gone with it."""
    import fcntl

    path = path_of(name, version).with_suffix(".lock")
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with path.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


def _prune(name: str, version: str) -> None:
    """Remove files of other versions that nobody has read for long, and left-over parts."""
    now = time.time()
    own = path_of(name, version)
    for pattern, days in (
        (f"{name}-*{SUFFIX}", KEPT_UNUSED_DAYS),
        (f"{name}-*.lock", KEPT_UNUSED_DAYS),
        (f".{name}-*.part", 1),
    ):
        for path in own.parent.glob(pattern):
            with contextlib.suppress(OSError):
                # Its own goes by no date: a clock set right a moment ago makes new files look old.
                if path.stem != own.stem and path.stat().st_mtime < now - days * 86_400:
                    path.unlink()


def _sealed(table: Table) -> Table:
    for array in table.values():
        array.flags.writeable = False
    return table
