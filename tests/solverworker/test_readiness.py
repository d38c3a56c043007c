"""The note that all a worker loads has been made: believed only while it is so. Common practice."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from solverworker import readiness
from solverworker.folders import cache_home
from solverworker.readiness import KEPT_UNUSED_DAYS, is_ready, note
from solverworker.worker_start import note_readiness, warm_up


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder with a kernel's code and a table, both noted."""
    made = [tmp_path / "compiled" / "kernel.nbc", tmp_path / "pair.table"]
    made[0].parent.mkdir()
    for path in made:
        path.write_bytes(b"made")
    note(tmp_path, made)
    return tmp_path


def the_note(home: Path) -> Path:
    (found,) = home.glob("ready-*.json")
    return found


def test_what_was_noted_is_ready_and_an_empty_folder_is_not(home: Path, tmp_path: Path) -> None:
    assert is_ready(home)
    assert not is_ready(home / "compiled")
    assert not is_ready(home / "nowhere")


@pytest.mark.parametrize("name", ["compiled/kernel.nbc", "pair.table"])
def test_a_file_that_is_gone_or_cut_short_is_missed(home: Path, name: str) -> None:
    (home / name).write_bytes(b"mad")
    assert not is_ready(home)
    (home / name).write_bytes(b"made")
    assert is_ready(home)
    (home / name).unlink()
    assert not is_ready(home)


@pytest.mark.parametrize("text", ["", "[]", "{}", "not JSON", '{"pair.table": "4"}'])
def test_a_note_that_cannot_be_read_is_none(home: Path, text: str) -> None:
    the_note(home).write_text(text, encoding="utf-8")
    assert not is_ready(home)


def test_another_compiler_python_or_way_of_compiling_makes_anew(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NUMBA_NUM_THREADS", "7")
    assert is_ready(home)
    for change in (
        lambda patch: patch.setenv("NUMBA_OPT", "0"),
        lambda patch: patch.setattr(sys, "prefix", "/elsewhere"),
        lambda patch: patch.setattr(readiness.platform, "node", lambda: "another"),
        lambda patch: patch.setattr(readiness.importlib.metadata, "version", lambda name: "9.9"),
    ):
        with monkeypatch.context() as patch:
            change(patch)
            assert not is_ready(home)
    assert is_ready(home)


def test_a_source_that_was_touched_or_changed_makes_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy, home = tmp_path / "solverworker", tmp_path / "cache"
    shutil.copytree(readiness.PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(readiness, "PACKAGE", copy)
    home.mkdir()
    (home / "pair.table").write_bytes(b"made")
    note(home, [home / "pair.table"])
    source = copy / "cube" / "cross.py"
    before, state = source.read_bytes(), source.stat()
    assert is_ready(home)
    os.utime(source, ns=(state.st_atime_ns, state.st_mtime_ns + 1))
    assert not is_ready(home)
    source.write_bytes(before.replace(b"a", b"b", 1))
    os.utime(source, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert not is_ready(home)
    source.write_bytes(before)
    os.utime(source, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert is_ready(home)


def test_notes_that_nobody_has_read_for_long_go(home: Path) -> None:
    old, young = home / "ready-0.json", home / "ready-1.json"
    for path in (old, young):
        path.write_text("{}", encoding="utf-8")
    then = time.time() - KEPT_UNUSED_DAYS * 86_400 - 60
    os.utime(old, (then, then))
    os.utime(the_note_of(home), (then, then))
    assert is_ready(home)
    note(home, [home / "pair.table"])
    assert not old.exists()
    assert young.exists()
    assert is_ready(home)


def the_note_of(home: Path) -> Path:
    return next(path for path in home.glob("ready-*.json") if len(path.stem) > len("ready-0"))


def test_a_worker_finds_all_that_the_note_lists_and_the_reader_loads_no_solver() -> None:
    warm_up()
    note_readiness()
    assert is_ready(cache_home())
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys; from solverworker import readiness; from solverworker.folders import *;"
            "loaded = {'numba', 'numpy', 'django'} & {*sys.modules};"
            "print(readiness.is_ready(cache_home()), loaded)",
        ],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert done.stdout == "True set()\n"
