"""How ``manage.py test`` starts the whole suite, and a part of it."""

from __future__ import annotations

import os
import sys

import pytest

from clubsite.deploy import commands
from clubsite.deploy.checkout import ROOT
from tests import sharing


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The command lines that this process would have been replaced by."""
    found: list[list[str]] = []
    monkeypatch.setattr(os, "execv", lambda program, words: found.append(words))
    monkeypatch.chdir(ROOT)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    monkeypatch.delenv("WITHIN_EIGHT_NO_SKIPS", raising=False)
    return found


def test_the_whole_is_shared_out_and_a_part_is_not(started: list[list[str]]) -> None:
    commands.run(["manage.py", "test", "-q"])
    commands.run(["manage.py", "test", "-q", "tests/house"])
    whole, part = started
    assert whole[:5] == [sys.executable, "-m", "pytest", "-n", "4"]
    assert "loadfile" in whole
    assert part == [sys.executable, "-m", "pytest", "-q", "tests/house"]


def test_where_none_may_be_left_out_skips_are_failures(
    started: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("WITHIN_EIGHT_NO_SKIPS", "1")
    commands.run(["manage.py", "test"])
    assert started[0][3:5] == ["-p", "tests.no_skips"]


def test_what_one_python_compiles_the_next_ones_load(
    started: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Told to keep no bytecode, each of some hundred processes would compile all of it anew."""
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1")
    commands.run(["manage.py", "test"])
    assert "PYTHONDONTWRITEBYTECODE" not in os.environ


def test_the_longest_begin_first_and_who_waits_takes_turns_with_who_works() -> None:
    names = [file.relative_to(ROOT / "tests") for file in (ROOT / "tests").rglob("test_*.py")]
    order = sharing.by_turns(names)
    assert sorted(order) == sorted(names)
    first = [file.as_posix() for file in order[: len(sharing.LONGEST)]]
    assert set(first) == set(sharing.LONGEST)
    folders = [file.parts[0] for file in order[len(first) :]]
    waiting = folders.count(sharing.WAITING)
    assert folders[: 2 * waiting : 2] == [sharing.WAITING] * waiting
    assert set(folders[1 : 2 * waiting : 2]) <= set(sharing.WORKING)
