"""The solver as a library: what a notebook imports, and that importing alone loads little."""

import json
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import solverworker
from solverworker import report
from solverworker.search.quarters import quarter_distance_table
from tests.reference import cross_graph
from tests.solverworker.test_distances import reference_state

ROOT = Path(__file__).parents[2]
COUNTS = json.loads((ROOT / "tests" / "data" / "cross_counts.json").read_text("utf-8"))


def test_every_name_is_there_and_tells_what_it_is():
    assert set(solverworker.__all__) <= set(dir(solverworker))
    for name in solverworker.__all__:
        found = getattr(solverworker, name)
        assert found.__doc__, name


def test_an_unknown_name_is_refused():
    with pytest.raises(AttributeError, match="nonsense"):
        _ = solverworker.nonsense


def test_names_and_numbers_of_turns_go_both_ways():
    # The order of the 18 is that of `solverworker.cube.turns`: U R F D L B, quarter, half, back.
    assert [solverworker.turn_name(number) for number in (0, 5, 16)] == ["U", "R'", "B2"]
    names = [solverworker.turn_name(number) for number in range(18)]
    assert len(set(names)) == 18
    assert [solverworker.turn_number(name) for name in names] == list(range(18))


@pytest.mark.parametrize("name", ["", "r", "Rw", "R3", "M", "x", "R R", "nonsense" * 100])
def test_what_is_no_face_turn_has_no_number(name):
    with pytest.raises(ValueError, match="is no face turn") as refusal:
        solverworker.turn_number(name)
    assert len(str(refusal.value)) < 140


@pytest.mark.parametrize("number", [-1, 18])
def test_what_is_no_turns_number_has_no_name(number):
    with pytest.raises(ValueError, match=f"from 0 to 17, not {number}"):
        solverworker.turn_name(number)


def test_its_versions_are_told():
    assert re.fullmatch(r"\d+\.\d+\.\d+", solverworker.__version__)
    assert solverworker.SOLVER_VERSION == report.SOLVER_VERSION


def test_importing_it_and_reading_the_atlas_load_no_compiler_and_no_django():
    program = (
        "import sys, solverworker; from solverworker.cube import cross;"
        "print('numpy' in sys.modules);"
        "from solverworker.atlas import atlas; atlas();"
        "print([name for name in ('numba', 'llvmlite', 'django') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.split("\n")[:2] == ["False", "[]"]


def test_distances_in_quarter_turns_are_the_published_counts_and_scipys():
    table = quarter_distance_table()
    assert np.bincount(table).tolist() == COUNTS["quarter_turns"]
    index = cross_graph.index_of_state()
    quarters = tuple(name for name in cross_graph.FACE_TURNS if not name.endswith("2"))
    expected = cross_graph.distances(quarters)
    from solverworker.cube.cross import unrank

    for number in range(0, len(table), 37):
        assert table[number] == expected[index[reference_state(unrank(number))]]
