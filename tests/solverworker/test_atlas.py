"""The atlas: every state's count, the techniques on a sample, and its figures."""

import json
import random
from functools import reduce
from pathlib import Path

import numpy as np
import pytest

from solverworker import atlas as reading
from solverworker.cube.cross import STATE_COUNT, unrank
from solverworker.search.cross import distance_table, shortest_solutions
from solverworker.techniques import TECHNIQUES, used
from solverworker.techniques.atlas_maker import atlas, make_table
from tests.reference import cross_graph, slow_techniques, solution_counts
from tests.solverworker.test_distances import reference_state

COUNTS = json.loads((Path(__file__).parents[1] / "data" / "cross_counts.json").read_text("utf-8"))


def test_every_distance_is_that_of_the_table():
    assert np.array_equal(atlas().distance, distance_table())


def test_every_count_of_solutions_is_the_references():
    index = cross_graph.index_of_state()
    order = [index[reference_state(unrank(number))] for number in range(STATE_COUNT)]
    assert np.array_equal(atlas().count, solution_counts.counts()[order])


def test_techniques_of_all_solutions_on_a_sample():
    held = atlas()
    for number in random.Random(11).sample(range(STATE_COUNT), 250):
        state = unrank(number)
        sets = [used(state, turns) for turns in shortest_solutions(state)]
        entry = held.entry(state)
        assert entry.count == len(sets)
        assert entry.some == frozenset().union(*sets)
        assert entry.every == reduce(frozenset.intersection, sets)


def test_the_figures():
    figures = atlas().figures
    assert figures["states"] == STATE_COUNT
    assert [each["states"] for each in figures["by_distance"].values()] == COUNTS["face_turns"]
    assert figures["solutions"] == sum(e["solutions"] for e in figures["by_distance"].values())
    assert figures["unique"] == int((atlas().count == 1).sum())
    assert figures["max_count"] == 508
    assert list(figures["some"]) == list(figures["every"]) == list(TECHNIQUES)
    assert json.loads(json.dumps(figures)) == figures


# From slow programs straight from the definitions; each twin has its own.
@pytest.mark.parametrize("code", TECHNIQUES)
def test_how_often_a_random_cross_calls_for_a_technique(code):
    expected = slow_techniques.TWINS[code].CALLED_FOR
    digits = len(expected.partition(".")[2])
    share = atlas().figures["every"][code] / STATE_COUNT
    assert 2 <= digits <= 3
    assert f"{share:.{digits}f}" == expected


def test_a_technique_that_every_solution_uses_some_solution_uses():
    held = atlas()
    assert not np.any(held.every & ~held.some)
    assert not held.distance.flags.writeable


def test_without_a_file_a_reader_says_so_and_a_maker_makes_one(monkeypatch, tmp_path):
    monkeypatch.setenv("WITHIN_EIGHT_CACHE", str(tmp_path))
    monkeypatch.setattr(reading, "_held", [])
    assert reading.atlas() is None
    made = atlas()
    assert np.array_equal(made.count, make_table()["count"])
    monkeypatch.setattr(reading, "_held", [])
    there = reading.atlas()
    assert there is not None
    assert there.figures == made.figures


def test_an_atlas_of_something_else_is_refused():
    with pytest.raises(ValueError, match="not an atlas"):
        reading.hold({"distance": np.zeros(3, dtype=np.uint8)})
