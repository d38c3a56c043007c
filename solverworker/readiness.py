"""Whether all that a worker loads has been made, told by files alone: no compiled code is loaded.

Whoever has made it all (``manage.py warmup``) leaves a note, which lists the files
and is named by a digest of what they depend on: our sources, the packages that
compile them, Python, the processor. Whoever starts workers looks for such a
note, and for each file that it lists; where one is missing all is made again,
at most once too often. Needs the standard library alone.

A file that is there and cannot be used is made again by the worker that reads it.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.metadata
import json
import os
import platform
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

PACKAGE: Final = Path(__file__).resolve().parent

COMPILERS: Final = ("numba", "llvmlite", "numpy")

OF_NO_ACCOUNT: Final = ("NUMBA_NUM_THREADS", "NUMBA_CACHE_DIR")
"""Variables of the compiler that change no file: how many threads, and where."""

OF_A_PROCESSOR: Final = ("vendor_id", "cpu family", "model", "stepping", "flags", "CPU", "Features")
"""Lines of ``/proc/cpuinfo`` that are the same at any moment."""

KEPT_UNUSED_DAYS: Final = 30


def note(home: Path, files: Iterable[Path]) -> None:
    """Note that ``files``, below ``home``, are all that a worker loads. Raises OSError."""
    sizes = {path.relative_to(home).as_posix(): path.stat().st_size for path in files}
    place = _place(home)
    descriptor, beside = tempfile.mkstemp(dir=home, prefix=".ready-", suffix=".part")
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        json.dump(sizes, file)
    Path(beside).replace(place)
    _prune(place)


def is_ready(home: Path) -> bool:
    """Whether all has been made in ``home``, the folder for files that can be made again."""
    try:
        place = _place(home)
        sizes = json.loads(place.read_text(encoding="utf-8"))
        there = all((home / name).stat().st_size == size for name, size in sizes.items())
        os.utime(place)  # in use: see _prune
    except (OSError, ValueError, AttributeError, importlib.metadata.PackageNotFoundError):
        return False
    return bool(sizes) and there


def _place(home: Path) -> Path:
    return home / f"ready-{_digest()}.json"


def _digest() -> str:
    made = hashlib.sha256()
    for line in _depends_on():
        made.update(f"{line}\n".encode())
    return made.hexdigest()[:16]


def _depends_on() -> Iterator[str]:
    yield f"{sys.version} {sys.prefix} {PACKAGE}"
    for package in COMPILERS:
        yield f"{package} {importlib.metadata.version(package)}"
    yield from _machine()
    for name in sorted(os.environ):
        if name.startswith("NUMBA_") and name not in OF_NO_ACCOUNT:
            yield f"{name}={os.environ[name]}"
    for path in sorted(PACKAGE.rglob("*.py")):
        # The compiler goes by time and size of a file, our own digests by what is in it.
        state = path.stat()
        content = hashlib.sha256(path.read_bytes()).hexdigest()
        yield f"{path.relative_to(PACKAGE)} {state.st_mtime_ns} {state.st_size} {content}"


def _machine() -> Iterator[str]:
    """What tells this processor from another: several machines may share a home folder."""
    yield f"{platform.system()} {platform.machine()} {platform.node()}"
    with contextlib.suppress(OSError):
        first = Path("/proc/cpuinfo").read_text(encoding="utf-8").partition("\n\n")[0]
        yield from (line for line in first.split("\n") if line.startswith(OF_A_PROCESSOR))


def _prune(own: Path) -> None:
    for pattern, days in (("ready-*.json", KEPT_UNUSED_DAYS), (".ready-*.part", 1)):
        for path in own.parent.glob(pattern):
            with contextlib.suppress(OSError):
                if path != own and path.stat().st_mtime < time.time() - days * 86_400:
                    path.unlink()
