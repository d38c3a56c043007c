"""The library is a wheel of its own: it installs, works, and brings what it says it needs."""

from __future__ import annotations

import ast
import importlib.metadata
import os
import re
import shutil
import subprocess
import sys
import venv
import zipfile
from email import message_from_string
from pathlib import Path

import pytest

import solverworker

ROOT = Path(__file__).resolve().parents[2]
PIP = [sys.executable, "-m", "pip", "--disable-pip-version-check"]

WORK = """
import sys
import solverworker
from solverworker import SOLVER_VERSION, check_plan, solve, turn_name, turn_number
assert solve("R D", colours=["yellow"])["yellow"].solutions == ("D' R'",)
report = check_plan("R D", "U D' R'", colours=["yellow"])
assert (report.solved, report.excess, report.version) == (True, 1, SOLVER_VERSION)
assert [turn_name(turn_number(name)) for name in ("U", "R'", "B2")] == ["U", "R'", "B2"]
print(solverworker.__version__, solverworker.__file__)
print(*sorted({name.partition(".")[0] for name in sys.modules} & {"django", "celery", "training"}))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, made as ``pip wheel .`` makes it, from the files that it is made of alone."""
    source = tmp_path_factory.mktemp("source")
    for name in ("pyproject.toml", "LICENSE"):
        shutil.copy2(ROOT / name, source)
    shutil.copytree(
        ROOT / "solverworker",
        source / "solverworker",
        ignore=shutil.ignore_patterns("__pycache__"),
    )
    made = tmp_path_factory.mktemp("made")
    # Without isolation pip fetches nothing: the backend is one of the test tools.
    subprocess.run(
        [*PIP, "wheel", str(source), "--no-deps", "--no-build-isolation", "--quiet", "-w", made],
        check=True,
    )
    (found,) = made.glob("*.whl")
    # Nothing is left behind in the sources.
    assert {each.name for each in source.iterdir()} == {"pyproject.toml", "LICENSE", "solverworker"}
    return found


def metadata(wheel: Path) -> dict[str, list[str]]:
    with zipfile.ZipFile(wheel) as archive:
        (name,) = (n for n in archive.namelist() if n.endswith(".dist-info/METADATA"))
        message = message_from_string(archive.read(name).decode())
    return {key: message.get_all(key, []) for key in message}


def test_it_holds_the_library_with_its_types_and_nothing_of_the_site(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = {name for name in archive.namelist() if ".dist-info/" not in name}
    expected = {
        str(path.relative_to(ROOT))
        for path in (ROOT / "solverworker").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert names == expected
    assert "solverworker/py.typed" in names


def test_its_metadata_say_what_it_is_and_needs(wheel: Path) -> None:
    told = metadata(wheel)
    assert told["Name"] == ["solverworker"]
    assert told["Version"] == [solverworker.__version__]
    assert sorted(told["Requires-Dist"]) == ["numba", "numpy"]
    assert told["License-Expression"] == ["MIT"]


def needed(name: str) -> set[str]:
    """A package and all that it needs, by name, as installed here."""
    found = {name}
    for line in importlib.metadata.requires(name) or []:
        if "extra ==" not in line:
            found |= needed(re.split(r"[^\w.-]", line)[0])
    return found


def top_names(package: str) -> set[str]:
    """The files and folders that a package has put beside the others."""
    files = importlib.metadata.files(package) or []
    return {file.parts[0] for file in files if file.parts[0] not in ("..", "__pycache__")}


@pytest.fixture
def fresh(tmp_path: Path, wheel: Path) -> Path:
    """The Python of a new environment that holds the wheel, what it needs, and nothing else."""
    venv.create(tmp_path / "fresh", with_pip=False, symlinks=True)
    python = tmp_path / "fresh" / "bin" / "python"
    subprocess.run(
        [*PIP, "--python", python, "install", "--quiet", "--no-deps", "--no-index", str(wheel)],
        check=True,
    )
    # What it needs is lent from here: fetching it would need a network.
    site = Path(
        subprocess.run(
            [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
    )
    here = Path(str(importlib.metadata.distribution("numpy").locate_file("")))
    for package in needed("numba") | needed("numpy"):
        for name in top_names(package):
            (site / name).symlink_to(here / name)
    return python


@pytest.mark.slow
def test_it_works_in_a_new_environment(fresh: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [fresh, "-c", WORK],
        cwd=tmp_path,
        env={
            **{name: value for name, value in os.environ.items() if name != "PYTHONPATH"},
            "WITHIN_EIGHT_CACHE": str(tmp_path / "cache"),
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    version, file = done.stdout.split("\n")[0].split()
    assert version == solverworker.__version__
    assert Path(file).is_relative_to(tmp_path / "fresh")
    assert done.stdout.split("\n")[1] == ""


def test_what_it_imports_is_what_it_says_it_needs(wheel: Path) -> None:
    """But for the two modules of the club's workers, which need its site."""
    allowed = {*metadata(wheel)["Requires-Dist"], "llvmlite", "solverworker"}
    for path in (ROOT / "solverworker").rglob("*.py"):
        if path.name in ("tasks.py", "worker_start.py"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom):
                names = {(node.module or "").partition(".")[0]}
            elif isinstance(node, ast.Import):
                names = {each.name.partition(".")[0] for each in node.names}
            else:
                continue
            assert names <= allowed | set(sys.stdlib_module_names), (path, names)
