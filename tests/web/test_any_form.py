"""Whatever is sent to a page is answered or refused, never with a fault of the site.

Common practice (fuzzing), no source. ``tests.bench.any_form`` sends thousands.
"""

from __future__ import annotations

from random import Random

import pytest
from django.test import Client

from tests.access.addresses import addresses
from tests.access.world import World, make_world
from tests.conftest import make_membership
from tests.web.any_form import LEFT_OUT, Visitor, _fields
from training.models import Club, Membership, Role


@pytest.fixture
def world(club: Club, other_club: Club, member: Membership, second: Membership) -> World:
    return make_world(club, other_club, member, second)


def visitor(world: World, who: str, seed: int) -> Visitor:
    client = Client()
    client.cookies["sessionid"] = world.sessions[who]
    return Visitor(client, Random(seed))


@pytest.mark.parametrize("who", ["member", "coach"])
def test_no_form_and_no_query_is_a_fault(world: World, who: str) -> None:
    asks = visitor(world, who, seed=8)
    for address in addresses(world):
        if not address.is_program and address.name not in LEFT_OUT:
            asks.visit(address.path)
    assert asks.faults == []
    assert asks.statuses[200] > 20
    assert asks.statuses.total() > 80


def test_every_field_of_a_page_is_filled_in(club: Club) -> None:
    owner = make_membership(club, "Odd", Role.OWNER)
    client = Client()
    client.force_login(owner.person, backend="training.services.backends.PhraseBackend")
    fields = _fields(client.get(f"/c/{club.slug}/settings/").content.decode())
    assert {"do", "day", "time_zone", "spelling", "colours"} <= set(fields)
    assert {"days", "day_off"} <= set(fields["do"])


def test_a_fault_is_seen(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*arguments: object, **options: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("training.web.pages.settings.views.days_off", broken)
    asks = visitor(world, "coach", seed=8)
    asks.visit("/c/lantern-street/settings/")
    assert asks.faults
