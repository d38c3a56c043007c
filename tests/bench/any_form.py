"""Thousands of strange requests to the pages, as a member, a coach and an owner.

    python -m tests.bench.any_form [cases] [seed]

3,000 cases for each of the three unless told: pages asked for with strange queries, and all their
forms filled in with whatever comes, each page's own fields. The site is as it is shipped, on a
SQLite file. Ends with status 1 and the requests when one is answered with a fault of the site.
"""

from __future__ import annotations

import logging
import os
import sys
import tempfile
import time
from random import Random
from typing import Any


def main() -> int:
    """Ask, and print how often each status came."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "clubsite.settings.base",
            "SECRET_KEY": "only-for-a-measurement-" + "0123456789abcdef" * 2,
            "DATABASE_URL": f"sqlite:///{folder}/club.sqlite3",
            "WITHIN_EIGHT_DATA": folder,
            "REDIS_URL": "memory://",
            "ALLOWED_HOSTS": "testserver",
        }
        import django

        django.setup()
        logging.disable(logging.ERROR)
        from django.core.management import call_command

        call_command("migrate", verbosity=0)
        return _ask(cases, seed)


def _ask(cases: int, seed: int) -> int:
    from tests.access.addresses import addresses
    from tests.web.any_form import LEFT_OUT, Visitor

    world, clients = _a_club()
    paths = [
        one.path for one in addresses(world) if not one.is_program and one.name not in LEFT_OUT
    ]
    faults: list[str] = []
    for name, client in clients.items():
        began = time.perf_counter()
        asks = Visitor(client(), Random(f"{seed} {name}"))
        while asks.statuses.total() < cases:
            for path in paths:
                asks.visit(path)
            # What was sent may have ended the session, archived somebody, changed a phrase.
            asks.renew(client())
        told = ", ".join(f"{status}: {n:,}" for status, n in sorted(asks.statuses.items()))
        seconds = time.perf_counter() - began
        print(f"{name}: {asks.statuses.total():,} cases in {seconds:.0f} s. {told}", flush=True)
        faults += [f"{name}: {fault}" for fault in asks.faults]
    print("\n".join(faults[:20]))
    return 1 if faults else 0


def _a_club() -> tuple[Any, dict[str, Any]]:
    """The club of the access table, and for each kind of person what makes a client signed in."""
    from django.test import Client

    from tests.access.world import make_world
    from tests.conftest import make_membership
    from training.models import Club, Membership, Role, Standing

    common = {"time_zone": "Europe/Oslo", "colours": ["yellow"]}
    club = Club.objects.create(name="Lantern Street", slug="lantern-street", **common)
    other = Club.objects.create(name="Far Shore", slug="far-shore", **common)
    member, second = make_membership(club, "Ines"), make_membership(club, "Bashir")
    owner = make_membership(club, "Odd", Role.OWNER)
    world = make_world(club, other, member, second)
    coach = Membership.objects.get(club=club, display_name="Kari")

    def signed_in(who: Membership) -> Client:
        standing = {"standing": Standing.ACTIVE, "role": who.role}
        Membership.objects.filter(pk=who.pk).update(**standing)
        client = Client()
        client.force_login(who.person, backend="training.services.backends.PhraseBackend")
        return client

    people = {"member": member, "coach": coach, "owner": owner}
    return world, {name: lambda who=who: signed_in(who) for name, who in people.items()}


if __name__ == "__main__":
    sys.exit(main())
