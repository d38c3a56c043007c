"""Counts of several lists of sets at once, against sums made one row at a time."""

from __future__ import annotations

import random
from collections import defaultdict
from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from training.models import TechniqueCount
from training.selectors.idea_looks import counts_of_each

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("seed", range(4))
def test_lists_that_share_sets_have_the_sums_of_their_own_sets(given, club, seed) -> None:
    source = random.Random(seed)
    people = [make_membership(club, f"M{n}") for n in range(3)]
    sets = [
        given.a_set(opens=NOON - timedelta(days=n + 1, hours=13), closes=NOON - timedelta(days=n))
        for n in range(6)
    ]
    rows = TechniqueCount.objects.bulk_create(
        TechniqueCount(
            membership=who,
            scramble_set=one,
            code=code,
            counts=source.random() < 0.8,
            called=(called := source.randrange(5)),
            answered=source.randrange(called + 1),
            lost=source.randrange(8) / 4,
        )
        for who in people
        for one in sets
        for code in ("base_turn", "shared_turn", "undone_moves")
        if source.random() < 0.8
    )
    spans = [source.sample(sets, source.randrange(7)) for _ in range(3)]
    for span, found in zip(spans, counts_of_each(spans), strict=True):
        ids = {one.pk for one in span}
        plain: dict = defaultdict(lambda: [0, 0, 0.0])
        for row in rows:
            if row.counts and row.scramble_set_id in ids:
                sums = plain[row.code, row.membership_id]
                sums[0] += row.answered
                sums[1] += row.called
                sums[2] += row.lost
        told = {
            (code, member): [tally.answered, tally.called, lost]
            for code, of_code in found.items()
            for member, (tally, lost) in of_code.items()
        }
        assert told == dict(plain)


def test_of_no_sets_there_are_no_counts(django_assert_num_queries) -> None:
    with django_assert_num_queries(0):
        assert counts_of_each([[], []]) == [{}, {}]
