"""An idea is added by its own files alone: the solver's two, its slow twin."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from solverworker.causes import IDEAS

ROOT = Path(__file__).parents[2]
OWN = ROOT / "tests" / "sixth_idea"
CODE = "roof_turn"

FILES = {
    "words.txt": f"solverworker/causes/ideas/{CODE}.py",
    "definition.txt": f"solverworker/techniques/definitions/{CODE}.py",
    "twin.txt": f"tests/reference/slow_techniques/{CODE}.py",
}
"""What is added to a copy of the tree, and nothing else in it is touched."""

COPIED = ("solverworker", "training", "clubsite", "tests", "pyproject.toml", "manage.py")


@pytest.fixture
def copy(tmp_path):
    """A copy of the tree with a sixth idea."""
    there = tmp_path / "tree"
    for name in COPIED:
        source, target = ROOT / name, there / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.is_dir():
            shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy2(source, target)
    for own, place in FILES.items():
        text = (OWN / own).read_text("utf-8").replace("ORDER", str(len(IDEAS)))
        assert not (there / place).exists()
        (there / place).write_text(text, "utf-8")
    return there


def run(copy, *command):
    return subprocess.run(
        [sys.executable, *command],
        cwd=copy,
        env={
            **{name: value for name, value in os.environ.items() if "PYTEST" not in name},
            "WITHIN_EIGHT_CACHE": str(copy.parent / "cache"),
            "PYTHONPATH": str(copy),
        },
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.slow
def test_it_is_in_every_place_once_its_files_are_there(copy):
    shutil.copy2(OWN / "places.py", copy / "tests" / "test_places.py")
    done = run(copy, "-m", "pytest", "-q", "--no-migrations", "tests/test_places.py")
    assert done.returncode == 0, done.stdout + done.stderr
    wanted = (OWN / "places.py").read_text("utf-8").count("\ndef test_")
    assert wanted == 9
    assert f"{wanted} passed" in done.stdout


@pytest.mark.parametrize(
    ("missing", "said"),
    [("definition.txt", "has words and no definition"), ("words.txt", "is of no idea")],
)
def test_one_of_the_two_alone_is_refused_in_words(copy, missing, said):
    (copy / FILES[missing]).unlink()
    # Nothing need be compiled for that.
    done = run(
        copy,
        "-c",
        "import os; os.environ['NUMBA_DISABLE_JIT'] = '1'; import solverworker.techniques",
    )
    assert done.returncode != 0
    assert f"`{CODE}` {said}" in done.stderr
