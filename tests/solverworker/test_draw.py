"""Scrambles of thirty random face turns."""

import random
from collections import Counter
from itertools import pairwise

import pytest
from scipy.stats import chisquare

from solverworker.cube.draw import THIRTY_TURNS, thirty_turns
from solverworker.cube.notation import parse
from solverworker.cube.turns import FACES, TURN_NAMES


def test_the_same_seed_draws_the_same_scramble():
    assert thirty_turns(random.Random(3)) == thirty_turns(random.Random(3))
    assert thirty_turns(random.Random(3)) != thirty_turns(random.Random(4))


def test_the_secure_source_draws_another_each_time():
    assert thirty_turns() != thirty_turns()
    assert THIRTY_TURNS == "thirty_turns"


@pytest.mark.parametrize("seed", range(200))
def test_no_turn_could_be_joined_to_one_before(seed):
    tokens = parse(thirty_turns(random.Random(seed)), strict=True)
    assert len(tokens) == 30
    faces = [FACES.index(token.family) for token in tokens]
    axes = [face % 3 for face in faces]
    assert all(one != other for one, other in pairwise(faces))
    assert not any(len(set(axes[i : i + 3])) == 1 for i in range(28))


def test_every_turn_comes_first_equally_often():
    counts = Counter(thirty_turns(random.Random(seed)).split()[0] for seed in range(3600))
    assert set(counts) == set(TURN_NAMES)
    assert chisquare(list(counts.values())).pvalue > 0.001
