"""Compiled code is kept in a folder of our own; without it all still works."""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from solverworker.folders import cache_home
from solverworker.search import compiling

ROOT = Path(__file__).parents[2]

ONE_CHECK = (
    "import logging; logging.basicConfig(format='%(message)s');"
    "from solverworker.search import compiling, warm_up; warm_up();"
    "from solverworker.review import check_plan;"
    "report = check_plan('R D', \"U D' R'\", colours=['yellow']);"
    "print(report.best, report.excess, compiling.FOLDER, compiling.COMPILED)"
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
    (best, excess, folder, compiled), log = run(ONE_CHECK, WITHIN_EIGHT_CACHE=str(tmp_path))
    assert (best, excess, compiled, log) == ("2", "1", "True", "")
    kept = Path(folder)
    assert kept.parent == tmp_path
    assert stat.S_IMODE(kept.stat().st_mode) == 0o700
    files = sorted(kept.rglob("*.nb?"))
    assert {path.suffix for path in files} == {".nbi", ".nbc"}

    for path in files:
        path.write_bytes(b"not what it was")
    (best, excess, again, _), log = run(ONE_CHECK, WITHIN_EIGHT_CACHE=str(tmp_path))
    assert (best, excess, again) == ("2", "1", folder)
    assert log.count("compiling anew") == 1
    assert all(path.read_bytes() != b"not what it was" for path in files)


def test_with_nowhere_to_keep_it_every_process_compiles_and_says_so(tmp_path):
    (tmp_path / "file").write_text("in the way")
    (best, excess, folder, _), log = run(
        ONE_CHECK, WITHIN_EIGHT_CACHE=str(tmp_path / "file" / "folder")
    )
    assert (best, excess, folder) == ("2", "1", "None")
    assert "Compiled code cannot be kept" in log
    assert "WITHIN_EIGHT_CACHE" in log


def test_the_mathematics_is_the_same_without_compiling():
    done = subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"),
            "tests/solverworker/test_check_plan.py",
            "tests/solverworker/test_distances.py::test_the_counts_by_distance_are_the_published_ones",
            "tests/solverworker/test_distances.py::test_every_shortest_solution_is_found_once_in_canonical_form",
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
