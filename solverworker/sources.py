"""Our own sources: which of them stand behind a module, and digests of them.

What is made from sources and kept (compiled code, tables) carries a digest of
all of them, so that nothing old is ever taken for new.

Of :mod:`solverworker.causes` only the codes and their order count: the rest of
it is words, and a better phrase makes nothing anew.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Final

from solverworker.causes import CAUSES

PACKAGE: Final = Path(__file__).resolve().parent

_WORDS: Final = ("solverworker.causes", "solverworker.words", "solverworker.tongue")

_IMPORT: Final = re.compile(
    r"^[ \t]*(?:from[ \t]+(solverworker[\w.]*)[ \t]+import[ \t]+(\([^)]*\)|[^\n#]*)"
    r"|import[ \t]+(solverworker[\w.]*))",
    re.MULTILINE,
)


def behind(*modules: str) -> list[Path]:
    """Return the files of some modules and of all of ours that they import, by whatever way.

    ``modules``: full names. A package that is imported as such counts with all
    its files: somebody walks through it. Sorted; words are left out.

    >>> [path.name for path in behind("solverworker.cube.cross")]
    ['cross.py', 'pieces.py', 'turns.py']
    """
    found: set[str] = set()
    waiting = list(modules)
    while waiting:
        name = waiting.pop()
        if name not in found and not _is_of(name, _WORDS):
            found.add(name)
            waiting += _imported(name)
    return sorted({_file(name) for name in found})


def digest(paths: Iterable[Path]) -> str:
    """Return a short digest of files, their places in the package, and the codes of causes."""
    made = hashlib.sha256(" ".join(CAUSES).encode())
    for path in paths:
        text = path.read_bytes()
        made.update(f"\n{path.relative_to(PACKAGE).as_posix()} {len(text)}\n".encode() + text)
    return made.hexdigest()[:12]


def with_kernels() -> list[str]:
    """Return the names of all modules that define kernels."""
    return [
        _name(path)
        for path in sorted(PACKAGE.rglob("*.py"))
        if re.search(r"^@kernel\(", path.read_text("utf-8"), re.MULTILINE)
    ]


def _is_of(name: str, packages: Iterable[str]) -> bool:
    return any(name == package or name.startswith(package + ".") for package in packages)


@cache
def _imported(name: str) -> tuple[str, ...]:
    """Return the names of our modules that a module imports."""
    return tuple(_names(_file(name).read_text("utf-8")))


def _names(source: str) -> Iterator[str]:
    for base, listed, whole in _IMPORT.findall(source):
        if whole:
            yield whole
        for part in re.findall(r"(\w+)(?:[ \t]+as[ \t]+\w+)?", listed):
            file = _file(f"{base}.{part}")
            if not file.is_file():
                yield base  # a name that the module itself provides
            elif file.name == "__init__.py":
                yield from (_name(each) for each in sorted(file.parent.glob("*.py")))
            else:
                yield _name(file)


def _file(name: str) -> Path:
    path = PACKAGE.parent.joinpath(*name.split("."))
    return path / "__init__.py" if path.is_dir() else path.with_suffix(".py")


def _name(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
