"""The examples in the docstrings of every package are true."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ("clubsite", "solverworker", "training", "tests")


def modules_with_examples() -> list[str]:
    """Dotted names of all modules in whose source an example stands."""
    found = []
    for folder in FOLDERS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            if path != Path(__file__) and ">>> " in path.read_text(encoding="utf-8"):
                parts = path.relative_to(ROOT).with_suffix("").parts
                found.append(".".join(parts).removesuffix(".__init__"))
    return found


@pytest.mark.parametrize("name", modules_with_examples())
def test_every_example_gives_what_it_says(name: str) -> None:
    flags = doctest.ELLIPSIS | doctest.IGNORE_EXCEPTION_DETAIL
    found = doctest.testmod(importlib.import_module(name), optionflags=flags)
    assert found.attempted > 0
    assert found.failed == 0


def test_no_package_is_left_out() -> None:
    tops = {name.partition(".")[0] for name in modules_with_examples()}
    assert tops == set(FOLDERS)
    assert {path.parent.name for path in ROOT.glob("*/__init__.py")} <= {*FOLDERS}
