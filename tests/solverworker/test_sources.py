"""What is made from sources and kept is keyed by all of them."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from solverworker import atlas, sources
from solverworker.causes import CAUSES
from solverworker.search import compiling, pair, phase_tables

ROOT = Path(__file__).parents[2]


@pytest.fixture
def copy(monkeypatch, tmp_path):
    """A copy of the solver's sources, which the digests are now made of."""
    there = tmp_path / "solverworker"
    shutil.copytree(sources.PACKAGE, there, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(sources, "PACKAGE", there)
    sources._imported.cache_clear()
    yield there
    sources._imported.cache_clear()


def keys():
    """The keys under which compiled code and each table would be kept now."""
    sources._imported.cache_clear()
    return {
        "compiled": compiling._folder_name(),
        **{module.NAME: module.version.__wrapped__() for module in (atlas, pair, phase_tables)},
    }


def touch(path):
    path.write_text(path.read_text("utf-8") + "\n# Touched.\n", "utf-8")


EVERYTHING = {"compiled", "atlas", "pair", "scrambling"}


@pytest.mark.parametrize(
    ("file", "changed"),
    [
        ("cube/pieces.py", EVERYTHING),
        ("cube/turns.py", EVERYTHING),
        ("cube/cross.py", EVERYTHING - {"scrambling"}),
        ("cube/hands.py", {"compiled"}),
        ("cube/moments.py", {"compiled", "atlas"}),
        ("search/compiling.py", EVERYTHING),
        ("search/cross_kernels.py", {"compiled", "atlas", "pair"}),
        ("search/pair_kernels.py", {"compiled", "pair"}),
        ("techniques/definitions/base_turn.py", {"compiled", "atlas"}),
        ("techniques/out_and_back.py", {"compiled", "atlas"}),
        ("review/blame_kernels.py", {"compiled"}),
        # Nothing that is kept is made of these.
        ("review/check.py", set()),
        ("words/vocabulary.py", set()),
        ("causes/ideas/base_turn.py", set()),
    ],
)
def test_a_changed_source_changes_the_keys_of_all_that_is_made_of_it(copy, file, changed):
    before = keys()
    touch(copy / file)
    after = keys()
    assert {name for name in before if before[name] != after[name]} == changed


def test_a_new_definition_counts_without_being_named_anywhere(copy):
    before = keys()
    (copy / "techniques" / "definitions" / "sixth.py").write_text("")
    after = keys()
    assert {name for name in before if before[name] != after[name]} == {"compiled", "atlas"}


def test_the_order_of_the_ideas_counts(monkeypatch):
    before = keys()
    turned_round = dict(reversed(CAUSES.items()))
    monkeypatch.setattr(sources, "CAUSES", turned_round)
    assert all(before[name] != key for name, key in keys().items())


def test_behind_a_module_stands_every_module_of_ours_that_python_loads_for_it():
    """Python itself is the oracle, in a process of its own."""
    name = "solverworker.techniques.atlas_maker"
    program = (
        f"import sys, {name};"
        "print(*sorted(n for n in sys.modules if n.startswith('solverworker.')))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.split())
    found = {sources._name(path) for path in sources.behind(name)}
    # Packages are loaded for what is in them, and words are left out.
    packages = {one for one in loaded if sources._file(one).name == "__init__.py"}
    words = {one for one in loaded if sources._is_of(one, sources._WORDS)}
    only_for_words = {sources._name(path) for path in sources.behind("solverworker.cube.story")}
    assert found <= loaded
    assert loaded - found - packages - words <= only_for_words


COST = (
    "import numpy as np; from solverworker.search.hands import hand_costs;"
    "print(int(hand_costs(np.array([[5, 3, 3, 3, 3]], dtype=np.uint8), 5)[0]))"
)


def test_code_that_was_compiled_before_a_table_changed_is_not_taken_again(copy, tmp_path):
    """Numba looks at the file of a kernel alone; what it froze came from another."""

    def cost():
        done = subprocess.run(
            [sys.executable, "-c", COST],
            cwd=copy.parent,
            env={**os.environ, "WITHIN_EIGHT_CACHE": str(tmp_path / "cache")},
            capture_output=True,
            text=True,
            check=True,
        )
        return int(done.stdout)

    before = cost()
    hands = copy / "cube" / "hands.py"
    source = hands.read_text("utf-8")
    assert "WRIST_UP: Final = 2" in source
    hands.write_text(source.replace("WRIST_UP: Final = 2", "WRIST_UP: Final = 1"), "utf-8")
    assert cost() > before
    assert len(list((tmp_path / "cache").glob("compiled-*"))) == 2
