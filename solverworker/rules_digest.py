"""The digest of the rules by which plans are checked, pinned beside the version.

The rules are all sources that stand behind :func:`solverworker.review.check_plan`,
however it comes by them: so none can be forgotten. Comments, docstrings and
layout do not count, nor do words, nor how compiled code and tables are kept.
A test compares the digest with the pinned one; after a change ask yourself
whether any plan's report can differ, and run one of::

    python -m solverworker.rules_digest changed   # it can: the version goes up by one
    python -m solverworker.rules_digest same      # it cannot: moved, renamed, made faster
"""

from __future__ import annotations

import ast
import hashlib
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from solverworker import report
from solverworker.causes import CAUSES
from solverworker.sources import PACKAGE, behind

CHECKING: Final = "solverworker.review.check"

NO_RULES: Final = (
    *("folders.py", "sources.py", "tablefile.py", "search/compiling.py"),  # how things are kept
    "cube/refusals.py",  # what is said of a text that cannot be read
)

PINNED: Final = frozenset(("SOLVER_VERSION", "RULES_DIGEST"))

_REPORT: Final = Path(report.__file__)


def rules_digest() -> str:
    """Return a digest of the rules as they are in the sources now."""
    made = hashlib.sha256(" ".join(CAUSES).encode())
    for path in behind(CHECKING):
        place = path.relative_to(PACKAGE).as_posix()
        if place not in NO_RULES:
            made.update(f"\n{place}\n".encode())
            made.update(meaning(path.read_text("utf-8")).encode())
    return made.hexdigest()[:16]


def meaning(source: str) -> str:
    """Return what a source says, without comments, docstrings, layout and the pinned lines.

    The same for every version of Python.

    >>> meaning("x = 1  # one") == meaning("x = (1)") != meaning("x = 2")
    True
    """
    tree = ast.parse(source)
    tree.body = [statement for statement in tree.body if not PINNED & _assigned(statement)]
    return " ".join(_told(tree))


def pin(version: int, rules: str) -> None:
    """Write version and digest into :mod:`solverworker.report`."""
    source = _REPORT.read_text("utf-8")
    for name, value in (("SOLVER_VERSION", str(version)), ("RULES_DIGEST", f'"{rules}"')):
        source, count = re.subn(rf"^{name} = .*$", f"{name} = {value}", source, flags=re.MULTILINE)
        if count != 1:
            raise ValueError(f"`{name}` does not stand once in {_REPORT.name}.")
    _REPORT.write_text(source, "utf-8")


def _assigned(statement: ast.stmt) -> set[str]:
    if not isinstance(statement, ast.Assign):
        return set()
    return {target.id for target in statement.targets if isinstance(target, ast.Name)}


def _told(node: ast.AST) -> Iterator[str]:
    """Give a tree as words; fields that hold nothing are left out, as versions differ in them."""
    yield f"({type(node).__name__}"
    for name, value in ast.iter_fields(node):
        if value is None or value == [] or name in ("kind", "type_comment", "type_ignores"):
            continue
        yield name
        for one in value if isinstance(value, list) else [value]:
            if not isinstance(one, ast.AST):
                yield repr(one)
            elif not _is_text_alone(one):
                yield from _told(one)
    yield ")"


def _is_text_alone(node: ast.AST) -> bool:
    """Whether a statement is nothing but a text: a docstring."""
    return (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    )


def main(arguments: list[str]) -> int:
    """Pin the rules as they are; see the head of this module."""
    if arguments not in (["same"], ["changed"]):
        sys.stderr.write(f"{__doc__}\n")
        return 2
    version = report.SOLVER_VERSION + (arguments == ["changed"])
    pin(version, rules_digest())
    sys.stdout.write(f"Pinned: version {version}, rules {rules_digest()}.\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
