"""Compiled code is kept in a folder of our own; without it all still works."""

import os
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from solverworker.folders import cache_home
from solverworker.search import compiling

ROOT = Path(__file__).parents[2]

# One module of kernels stands for all: the others are compiled and kept the same way.
ONE_CHECK = (
    "import logging; logging.basicConfig(format='%(message)s');"
    "from solverworker.search import compiling, cross; cross.warm_up();"
    "from solverworker.cube.cross import after;"
    "state = after([3, 9]);"
    "print(cross.distance(state), len(cross.shortest_solutions(state)),"
    " compiling.FOLDER, compiling.COMPILED)"
)


def run(code, **environment):
    """Run a piece of Python in a process of its own; returns its output and its log."""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    return done.stdout.split(), done.stderr


def test_the_folder_is_ours_alone_and_a_broken_one_is_made_anew(tmp_path):
    (best, count, folder, compiled), log = run(ONE_CHECK, WITHIN_EIGHT_CACHE=str(tmp_path))
    assert (best, count, compiled, log) == ("2", "1", "True", "")
    kept = Path(folder)
    assert kept.parent == tmp_path
    assert stat.S_IMODE(kept.stat().st_mode) == 0o700
    files = sorted(kept.rglob("*.nb?"))
    assert {path.suffix for path in files} == {".nbi", ".nbc"}

    for path in files:
        path.write_bytes(b"not what it was")
    (best, count, again, _), log = run(ONE_CHECK, WITHIN_EIGHT_CACHE=str(tmp_path))
    assert (best, count, again) == ("2", "1", folder)
    assert log.count("compiling anew") == 1
    assert all(path.read_bytes() != b"not what it was" for path in files)


def test_with_nowhere_to_keep_it_every_process_compiles_and_says_so(tmp_path):
    (tmp_path / "file").write_text("in the way")
    (best, count, folder, _), log = run(
        ONE_CHECK, WITHIN_EIGHT_CACHE=str(tmp_path / "file" / "folder")
    )
    assert (best, count, folder) == ("2", "1", "None")
    assert "Compiled code cannot be kept" in log
    assert "WITHIN_EIGHT_CACHE" in log


def test_the_mathematics_is_the_same_without_compiling():
    done = subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"),
            "tests/solverworker/test_techniques.py::test_the_worked_examples_use_what_they_should",
            "tests/solverworker/test_distances.py::test_the_counts_by_distance_are_the_published_ones",
        ],
        cwd=ROOT,
        env={**os.environ, "NUMBA_DISABLE_JIT": "1"},
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    assert " passed" in done.stdout


def test_the_folders_name_tells_versions_and_processor(monkeypatch, tmp_path):
    monkeypatch.setenv("WITHIN_EIGHT_CACHE", str(tmp_path))
    folder = compiling._make_folder()
    assert folder is not None
    import numba
    from llvmlite import binding

    assert numba.__version__ in folder.name
    assert binding.get_host_cpu_name() in folder.name


def test_a_folder_that_others_may_write_is_not_used(monkeypatch, tmp_path, caplog):
    monkeypatch.setenv("WITHIN_EIGHT_CACHE", str(tmp_path))
    folder = compiling._make_folder()
    assert folder is not None
    folder.chmod(0o777)
    assert compiling._make_folder() is None
    assert "can be written by somebody else" in caplog.text


def test_what_older_versions_compiled_goes_once_nobody_uses_it(monkeypatch, tmp_path):
    monkeypatch.setenv("WITHIN_EIGHT_CACHE", str(tmp_path))
    now = time.time()
    for days in range(6):
        folder = tmp_path / f"compiled-older-{days}"
        folder.mkdir()
        (folder / "kernel.nbc").write_bytes(b"compiled")
        os.utime(folder, (now - 2 * days * 86_400 - 60, now - 2 * days * 86_400 - 60))
    (tmp_path / "atlas-1.table").write_bytes(b"something else")
    own = compiling._make_folder()
    left = {path.name for path in tmp_path.iterdir()}
    # The three used last stay (the own one is one of them).
    assert left == {own.name, "compiled-older-0", "compiled-older-1", "atlas-1.table"}


@pytest.mark.parametrize(
    ("environment", "expected"),
    [
        ({"WITHIN_EIGHT_CACHE": "/kept/here"}, "/kept/here"),
        ({"XDG_CACHE_HOME": "/user/cache"}, "/user/cache/within-eight"),
        ({"XDG_CACHE_HOME": "relative", "HOME": "/home/coach"}, "/home/coach/.cache/within-eight"),
        ({"HOME": "/home/coach"}, "/home/coach/.cache/within-eight"),
    ],
)
def test_where_files_are_kept_follows_the_environment(monkeypatch, environment, expected):
    # XDG Base Directory Specification: relative paths are ignored.
    for name in ("WITHIN_EIGHT_CACHE", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert cache_home() == Path(expected)


def test_reading_and_drawing_load_no_compiler():
    output, _ = run(
        "import sys, pkgutil, importlib, solverworker.cube, solverworker.report;"
        "[importlib.import_module('solverworker.cube.' + m.name)"
        " for m in pkgutil.iter_modules(solverworker.cube.__path__)];"
        "from solverworker.cube.net import net; net('R U');"
        "print([name for name in ('numba', 'numpy', 'llvmlite', 'django') if name in sys.modules])"
    )
    assert output == ["[]"]
