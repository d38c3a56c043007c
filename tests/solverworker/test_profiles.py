"""Picked crosses: how many match, uniform draws among them, impossible profiles."""

from collections import Counter

import numpy as np
import pytest
from scipy.stats import chisquare

from solverworker.cube.chance import Stream
from solverworker.cube.cross import STATE_COUNT, rank, unrank
from solverworker.cube.turns import TURN_NUMBERS
from solverworker.cube.whole import after
from solverworker.report import COLOURS
from solverworker.review import solve, with_pair
from solverworker.search.cross import shortest_solutions
from solverworker.techniques import used
from solverworker.techniques.atlas_maker import atlas
from solverworker.techniques.drawing import draw_called
from solverworker.techniques.profiles import (
    NoCrossMatches,
    Profile,
    TooRare,
    best_pair,
    draw_picked,
    draw_state,
    matching,
)


def test_a_profile_that_asks_nothing_matches_every_cross():
    assert matching(Profile()) == STATE_COUNT


def test_counts_of_one_colour_are_exact():
    held = atlas()
    bit = 1 << held.techniques.index("base_turn")
    expected = np.sum((held.distance >= 4) & (held.distance <= 5) & (held.every & bit > 0))
    assert matching(Profile(lengths=(4, 5), called=frozenset({"base_turn"}))) == expected
    assert matching(Profile(solutions=(1, 1))) == 37_224


def test_the_few_crosses_of_a_narrow_profile_are_those_that_the_plain_forms_find():
    profile = Profile(lengths=(3, 3), called=frozenset({"relative_build", "shared_turn"}))
    near = [unrank(int(n)) for n in np.flatnonzero(atlas().distance == 3)]
    found = [
        state
        for state in near
        if all(profile.called <= used(state, turns) for turns in shortest_solutions(state))
    ]
    assert matching(profile) == len(found) > 0


def test_draws_are_uniform_over_the_crosses_that_match():
    profile = Profile(lengths=(8, 8))
    source = Stream("eight")
    counts = Counter(rank(draw_state(profile, source)[0].cross) for _ in range(102 * 20))
    assert len(counts) == matching(profile) == 102
    assert chisquare(list(counts.values())).pvalue > 0.001


@pytest.mark.parametrize("colour", COLOURS)
def test_a_scramble_has_the_profile_for_its_colour(colour):
    profile = Profile(
        colours=(colour,), lengths=(5, 6), called=frozenset({"step_aside"}), solutions=(1, 9)
    )
    source = Stream(colour)
    for _ in range(3):
        found = solve(draw_picked(profile, source), colours=[colour])[colour]
        assert 5 <= found.best <= 6
        assert len(found.solutions) <= 9
        for text in found.solutions:
            turns = [TURN_NUMBERS[token] for token in text.split() if token in TURN_NUMBERS]
            state = after_solution(turns)
            assert "step_aside" in used(state, turns)


def after_solution(turns):
    """The cross that these turns solve."""
    return after(3 * (t // 3) + 2 - t % 3 for t in reversed(turns)).cross


def test_several_colours_are_about_the_best_one():
    profile = Profile(colours=("white", "red", "green"), lengths=(4, 4))
    source = Stream("several")
    best = Counter()
    for _ in range(12):
        found = solve(draw_picked(profile, source), colours=profile.colours)
        assert min(each.best for each in found.values()) == 4
        best[min(found, key=lambda colour: (found[colour].best, COLOURS.index(colour)))] += 1
    assert len(best) > 1


def test_the_first_pair_can_be_asked_for():
    profile = Profile(lengths=(5, 6), with_pair=(6, 6))
    source = Stream("pair")
    assert matching(profile) > 0
    # Cross and pair are never shorter than the cross.
    assert matching(Profile(lengths=(8, 8), with_pair=(0, 7))) == 0
    assert matching(Profile(lengths=(8, 8), with_pair=(0, 8))) > 0
    for _ in range(3):
        cube, hold = draw_state(profile, source)
        assert best_pair(cube) == 6
        assert hold == 0
    text = draw_picked(profile, source)
    assert with_pair(text, colours=["yellow"])["yellow"].best == 6


@pytest.mark.parametrize(
    ("profile", "nearest", "said"),
    [
        (Profile(lengths=(9, 12)), Profile(lengths=(8, 8)), "crosses of 8 moves"),
        (
            Profile(lengths=(1, 1), called=frozenset({"base_turn", "shared_turn"})),
            Profile(lengths=(3, 3), called=frozenset({"base_turn", "shared_turn"})),
            "crosses of 3 moves",
        ),
        (Profile(solutions=(509, 900)), Profile(), "any number"),
    ],
)
def test_an_impossible_profile_says_so_and_names_the_nearest(profile, nearest, said):
    assert matching(profile) == 0
    with pytest.raises(NoCrossMatches, match=said) as caught:
        draw_picked(profile, Stream(""))
    assert caught.value.nearest == nearest
    assert matching(nearest) > 0


def test_what_is_hardly_ever_so_is_given_up_within_a_bound(monkeypatch):
    monkeypatch.setattr("solverworker.techniques.profiles.MOST_TRIES", 20)
    with pytest.raises(TooRare, match="Allow one colour"):
        draw_picked(Profile(colours=COLOURS, lengths=(8, 8)), Stream("rare"))


@pytest.mark.parametrize(
    "fields",
    [
        {"lengths": (5, 4)},
        {"lengths": (-1, 4)},
        {"lengths": (0,)},
        {"lengths": (4, 5, 6)},
        {"lengths": 5},
        {"solutions": (3, 2)},
        {"with_pair": ()},
        {"called": frozenset({"nonsense"})},
        {"colours": ()},
        {"colours": ("pink",)},
    ],
)
def test_what_is_no_profile_is_refused(fields):
    with pytest.raises(ValueError, match=r"least and a greatest|technique|colour"):
        Profile(**fields)


def test_a_set_is_drawn_to_its_technique_and_the_same_again_from_its_seed():
    text = draw_called("relative_build", [4, 6], ["yellow"], "homework/1")
    assert text == draw_called("relative_build", [4, 6], ["yellow"], "homework/1")
    cube = after(TURN_NUMBERS[token] for token in text.split())
    entry = atlas().entry(cube.cross)
    assert "relative_build" in entry.every
    assert 4 <= entry.distance <= 6
    assert draw_called(None, None, ["white", "blue"], "practice/1")
