"""Compiling kernels, and keeping the compiled code.

Import numba through this module only: the folder for compiled code must be
set before numba is first imported. The folder is our own (mode 0700, because
the files in it are unpickled). Its name carries a digest of all sources that
kernels are made from (tables of the cube are frozen into them), numba's version
and the processor's name: numba itself looks only at the file in which a kernel
is defined, not at those that it calls.

Without a writable folder everything works, only each process compiles anew.
"""

from __future__ import annotations

import contextlib
import importlib
import importlib.metadata
import logging
import os
import re
import shutil
import stat
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar, cast

from solverworker.folders import cache_home
from solverworker.sources import behind, digest, with_kernels

_Function = TypeVar("_Function", bound=Callable[..., Any])

_LOG: Final = logging.getLogger(__name__)

KEPT_FOLDERS: Final = 3
KEPT_UNUSED_DAYS: Final = 2


def _processor() -> str:
    from llvmlite import binding  # type: ignore[import-untyped]

    return re.sub(r"[^A-Za-z0-9.-]+", "", str(binding.get_host_cpu_name())) or "unknown"


def _folder_name() -> str:
    numba_version = importlib.metadata.version("numba")
    sources = digest(behind(*with_kernels()))
    return f"compiled-{sources}-numba{numba_version}-{_processor()}"


def _make_folder() -> Path | None:
    """Make the folder for compiled code; None when nothing can be kept."""
    try:
        folder = cache_home() / _folder_name()
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        state = folder.stat()
        if state.st_uid != os.getuid() or stat.S_IMODE(state.st_mode) & 0o022:
            raise PermissionError(f"{folder} can be written by somebody else")
        with tempfile.NamedTemporaryFile(dir=folder):
            pass
        os.utime(folder)  # in use: see _prune
        _prune(folder)
    except (OSError, RuntimeError) as error:
        _LOG.warning(
            "Compiled code cannot be kept (%s); every process compiles anew. "
            "Set WITHIN_EIGHT_CACHE to a folder that this account may write.",
            error,
        )
        return None
    return folder


def _prune(used: Path) -> None:
    """Remove what older versions compiled, but nothing that a server may still load from.

    The folders used last stay, and so does every one used within the last days.
    """
    ages: list[tuple[float, Path]] = []
    for folder in used.parent.glob("compiled-*"):
        with contextlib.suppress(OSError):
            ages.append((time.time() - folder.stat().st_mtime, folder))
    for age, folder in sorted(ages)[KEPT_FOLDERS:]:
        if age > KEPT_UNUSED_DAYS * 86_400:
            shutil.rmtree(folder, ignore_errors=True)


FOLDER: Final[Path | None] = _make_folder()
"""Where compiled code is kept, or None."""

if FOLDER is not None:
    os.environ["NUMBA_CACHE_DIR"] = str(FOLDER)


def _load_numba() -> None:
    """Load numba without SciPy's linear algebra, which it looks for to multiply matrices.

    No kernel multiplies any, and what would come with it, modules for Fortran and
    for other libraries' arrays, is a third of what a worker loads here, and 16 MB.
    Whoever else asks for ``scipy.linalg`` gets it as ever.
    """
    missed = "scipy.linalg"
    hide = missed not in sys.modules
    if hide:
        sys.modules[missed] = None  # type: ignore[assignment] # The import system's word for it.
    try:
        importlib.import_module("numba.np.arraymath")
    finally:
        if hide:
            del sys.modules[missed]


_load_numba()

import numba  # noqa: E402

if FOLDER is not None:
    numba.config.CACHE_DIR = str(FOLDER)  # type: ignore[attr-defined]

COMPILED: Final[bool] = not numba.config.DISABLE_JIT  # type: ignore[attr-defined]
"""Whether kernels are compiled at all (``NUMBA_DISABLE_JIT`` is not set)."""


def kernel(signature: str) -> Callable[[_Function], _Function]:
    """Compile a function for one signature, or load it as compiled before.

    Compiling happens where the function is defined, so importing the kernels
    is all the warming up there is. When a kept file cannot be loaded the
    folder is emptied and the function is compiled anew.

    ``signature``: numba's notation, such as ``"int64(uint8[:])"``.
    """

    def make(function: _Function) -> _Function:
        if FOLDER is None or not COMPILED:
            return _compile(function, signature, keep=False)
        try:
            return _compile(function, signature, keep=True)
        except numba.core.errors.NumbaError:
            raise  # the function itself is wrong, not a file
        except Exception as error:  # a broken file may raise anything when unpickled
            _LOG.warning("Compiled code could not be loaded (%r); compiling anew.", error)
            _wipe(FOLDER)
        try:
            return _compile(function, signature, keep=True)
        except OSError as error:
            _LOG.warning("Compiled code cannot be kept: %s", error)
            return _compile(function, signature, keep=False)

    return make


def _compile(function: _Function, signature: str, *, keep: bool) -> _Function:
    decorate = numba.njit(signature, cache=keep, nogil=True, boundscheck=False)
    return cast(_Function, decorate(function))


def _wipe(folder: Path) -> None:
    for entry in folder.iterdir():
        if entry.is_dir():
            shutil.rmtree(entry, ignore_errors=True)
        else:
            entry.unlink(missing_ok=True)
