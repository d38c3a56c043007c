"""Queries put into SQL once give what the framework gives, and refuse to be half made."""

from __future__ import annotations

import pytest
from django.db import connection
from django.forms import model_to_dict
from django.test.utils import CaptureQueriesContext

from tests.conftest import make_membership
from training.models import Membership, Scramble
from training.prepared import LARGE, SMALL, TEXT, Prepared

pytestmark = pytest.mark.django_db


def of_slug(slug: str, person: int):
    found = Membership.objects.select_related("club", "person", "consent_noted_by")
    return found.filter(club__slug=slug, person=person).order_by()


def test_it_gives_the_rows_that_the_framework_gives(club, other_club) -> None:
    prepared = Prepared(of_slug, TEXT, LARGE)
    people = [make_membership(club, "Ines"), make_membership(other_club, "Orla", under_18=False)]
    people[1].consent_noted_by = people[0].person
    people[1].save()
    for who in people:
        with CaptureQueriesContext(connection) as captured:
            (found,) = prepared(who.club.slug, who.person_id)
            # With all that was selected beside it, and nothing where nothing is.
            seen = (found.club.zone, found.person.sign_in_name, found.consent_noted_by)
        (expected,) = of_slug(who.club.slug, who.person_id)
        assert len(captured) == 1
        assert model_to_dict(found) == model_to_dict(expected)
        assert model_to_dict(found.club) == model_to_dict(expected.club)
        assert seen == (who.club.zone, who.person.sign_in_name, expected.consent_noted_by)
        assert found.joined_at == expected.joined_at
        assert not found._state.adding
    assert prepared(club.slug, people[1].person_id) == []


def test_a_number_that_no_column_holds_has_no_rows(given) -> None:
    def numbered(set_id: int, number: int):
        return Scramble.objects.filter(scramble_set=set_id, number=number).order_by()

    prepared, a_set = Prepared(numbered, LARGE, SMALL), given.a_set()
    assert [one.text for one in prepared(a_set.pk, 2)] == ["D R"]
    assert prepared(a_set.pk, SMALL + 1) == prepared(LARGE + 1, 1) == []
    assert prepared(a_set.pk, 10**40) == []


def test_a_place_that_does_not_get_into_the_query_is_noticed(club) -> None:
    prepared = Prepared(lambda slug, unused: Membership.objects.filter(club__slug=slug), TEXT, TEXT)
    with pytest.raises(AssertionError, match="places"):
        prepared(club.slug, "")
