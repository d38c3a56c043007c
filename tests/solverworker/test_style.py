"""Where a solved plan begins to be a shortest one, and whether it was made edge by edge.

Against slow twins on a cube of numbered stickers, written from the definitions anew.
"""

import random
from collections import Counter
from itertools import groupby

from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker.cube.cross import SOLVED, STATE_COUNT, after, code, unrank
from solverworker.cube.turns import TURN_NAMES, inverse, write_turns
from solverworker.review import check_plan
from solverworker.review.style import is_edge_by_edge, tail_of
from solverworker.search.cross import shortest_solutions
from tests.reference.cross_graph import HOMES, distance
from tests.reference.slow_sequence import AXIS, Sequence, moved
from training.management.demo.habits import edge_by_edge

TURNS = st.lists(st.integers(0, 17), min_size=1, max_size=9)
NAMES = [*TURN_NAMES]


@given(TURNS)
@settings(max_examples=150)
def test_the_tail_is_that_of_the_slow_twin(turns):
    plan = [NAMES[turn] for turn in inverse(turns)]
    state = HOMES
    for turn in turns:
        state = moved(state, NAMES[turn][0], {"": 1, "2": 2, "'": 3}[NAMES[turn][1:]])
    report = check_plan(write_turns(turns), " ".join(plan), colours=["yellow"])
    expected, before = None, distance(state)
    for _, moment in groupby(plan, key=lambda name: AXIS[name[0]]):
        run = list(moment)
        for name in run:
            state = moved(state, name[0], {"": 1, "2": 2, "'": 3}[name[1:]])
        now = distance(state)
        if len(run) + now - before:
            expected = now
        before = now
    assert report.solved
    assert report.tail == expected
    assert (report.tail is None) == (report.excess == 0)


@given(TURNS)
@settings(max_examples=150)
def test_edge_by_edge_is_that_of_the_slow_twin(turns):
    plan = inverse(turns)
    state = HOMES
    for turn in turns:
        state = moved(state, NAMES[turn][0], {"": 1, "2": 2, "'": 3}[NAMES[turn][1:]])
    slow = Sequence(state, [NAMES[turn] for turn in plan])
    home = [
        sum(place == goal for place, goal in zip(end, HOMES, strict=True)) for end in slow.at_end
    ]
    expected = all(now <= max(home[:at]) + 1 for at, now in enumerate(home) if at)
    assert is_edge_by_edge(code(after(turns, SOLVED)), plan) == expected


def test_the_style_tells_those_who_have_it_from_those_who_have_not():
    """More than half of the plans of one kind, less than half of the other: the demo's planners."""
    source = random.Random(4)
    found = Counter()
    for _ in range(120):
        state = unrank(source.randrange(STATE_COUNT))
        plans = {
            "edge by edge": edge_by_edge(state, source),
            "shortest": source.choice(shortest_solutions(state)),
        }
        for kind, plan in plans.items():
            found[kind] += is_edge_by_edge(code(state), plan)
    assert found["edge by edge"] > 84
    assert found["shortest"] < 48


def test_rotations_and_slices_change_nothing():
    """A slice is two turns of one moment, a rotation none."""
    plain = check_plan("R L' D", "D' R' L", colours=["yellow"])
    slice_ = check_plan("R L' D", "D' y M y'", colours=["yellow"])
    assert plain.solved
    assert slice_.tail is None or slice_.solved


def test_one_moment_is_judged_whole():
    # R takes the edge out and L' is idle; the moment R L' loses what the two lose together.
    assert tail_of([3, 14, 5, 12], [0, 1, 2, 1, 0]) == 0


def test_an_older_report_tells_neither():
    from solverworker.report import PlanReport

    stored = check_plan("R D", "D' R' U U'", colours=["yellow"]).to_dict()
    for name in ("tail", "slips", "edge_by_edge"):
        del stored[name]
    read = PlanReport.from_dict(stored)
    assert (read.tail, read.slips, read.edge_by_edge) == (None, (), False)
