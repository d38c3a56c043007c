"""The same cross in other shapes. The symmetries of a cube are 48 (common knowledge: the
rotation group has 24, a mirror doubles it); those that keep a face are 8, the symmetries of a
square."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker.cube.chance import Stream
from solverworker.cube.variants import crosses, mirrored, new_shape, shapes
from solverworker.report import COLOURS
from solverworker.review import solve
from solverworker.search.scramble import draw_scramble

ALLOWED = st.lists(st.sampled_from(COLOURS), min_size=1, unique=True)


@pytest.mark.parametrize(
    ("colours", "count"),
    [
        (["white"], 8),
        (["red"], 8),
        (["white", "yellow"], 16),
        (["red", "orange"], 16),
        (["white", "red"], 4),
        (["white", "red", "green"], 6),
        (list(COLOURS), 48),
    ],
)
def test_there_are_as_many_shapes_as_symmetries_that_keep_the_colours(colours, count):
    scramble = draw_scramble(Stream("shapes"))
    found = {scramble, *shapes(scramble, colours)}
    assert len(found) == count


@given(st.integers(0, 10**6), ALLOWED)
@settings(max_examples=60)
def test_every_shape_is_of_the_same_worth_in_the_allowed_colours(number, colours):
    """Least moves and number of shortest ways, over all allowed colours together."""
    scramble = draw_scramble(Stream(f"shape {number}"))
    was = worth(scramble, colours)
    found = shapes(scramble, colours)
    for shape in found[:: max(1, len(found) // 4)]:
        assert worth(shape, colours) == was


def worth(scramble, colours):
    solved = solve(scramble, colours=colours)
    return sorted((solved[colour].best, solved[colour].count) for colour in colours)


@given(st.integers(0, 10**6), ALLOWED)
@settings(max_examples=60)
def test_a_shape_is_new_until_all_were_seen(number, colours):
    scramble = draw_scramble(Stream(f"seen {number}"))
    every = {crosses(shape, colours) for shape in shapes(scramble, colours)}
    every.discard(crosses(scramble, colours))
    seen = []
    for _ in every:
        seen.append(new_shape(scramble, colours, seen))
    assert {crosses(shape, colours) for shape in seen} == every
    # Then the one that was seen longest ago.
    assert crosses(new_shape(scramble, colours, seen), colours) == crosses(seen[0], colours)


def test_a_shape_of_a_shape_counts_as_seen():
    """What comes back of a cross that had come back itself is new as well."""
    first = "R D"
    second = new_shape(first, ["yellow"])
    third = new_shape(second, ["yellow"], [first, second])
    assert len({crosses(text, ["yellow"]) for text in (first, second, third)}) == 3


def test_a_cross_that_looks_the_same_from_all_sides_has_no_other_shape():
    assert new_shape("D2", ["yellow"]) is None
    assert new_shape("D", ["yellow"]) == mirrored("D")
