"""Thousands of requests made from the OpenAPI document, as a member, a coach and an owner.

    python -m tests.bench.any_request [cases]

3,000 cases for each of the three unless told, half of them within the document, half of them
against it, shared out among all operations. The site is as it is shipped: its settings, its
throttles (only what this program's own account has used up is forgotten before each request), a
SQLite file. Ends at the first answer that is a fault of the site or differs from the document,
with the request that repeats it.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections import Counter
from datetime import timedelta
from typing import Any


def main() -> None:
    """Ask, and print how often each status came."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "clubsite.settings.base",
            "SECRET_KEY": "only-for-a-measurement-" + "0123456789abcdef" * 2,
            "DATABASE_URL": f"sqlite:///{folder}/club.sqlite3",
            "WITHIN_EIGHT_DATA": folder,
            "REDIS_URL": "memory://",
            "LOG_LEVEL": "CRITICAL",
        }
        import logging

        import django

        django.setup()
        # Thousands of requests that lead nowhere are what is asked for here.
        logging.disable(logging.ERROR)
        from django.core.management import call_command

        call_command("migrate", verbosity=0)
        _ask(cases)


def _ask(cases: int) -> None:
    import schemathesis
    from schemathesis import GenerationMode

    from clubsite.wsgi import application
    from tests.api.contract import OPERATIONS, ask_many

    club = _a_club()
    schema = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", application)
    modes = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
    each = -(-cases // (len(OPERATIONS) * len(modes)))
    for name, who in club["people"].items():
        began = time.perf_counter()
        statuses: Counter[int] = Counter()
        for operation in OPERATIONS:
            for mode in modes:
                statuses.update(
                    ask_many(
                        schema,
                        operation,
                        mode,
                        examples=each,
                        places=club["places"],
                        authorization=lambda who=who: _unhindered(who),
                    )
                )
        asked = sum(statuses.values())
        assert asked >= cases * 0.9, asked
        assert statuses[200] > asked / 10, "hardly a request led anywhere"
        told = ", ".join(f"{status}: {count:,}" for status, count in sorted(statuses.items()))
        print(f"{name}: {asked:,} cases in {time.perf_counter() - began:.0f} s. {told}", flush=True)


def _a_club() -> dict[str, Any]:
    from django.utils import timezone

    from tests.conftest import Given, make_membership
    from training.models import Club, Role

    now = timezone.now()
    club = Club.objects.create(
        name="Lantern Street", slug="lantern-street", time_zone="Europe/Oslo", colours=["yellow"]
    )
    given = Given(club)
    people = {
        "member": make_membership(club, "Ines"),
        "coach": make_membership(club, "Kari", Role.COACH),
        "owner": make_membership(club, "Odd", Role.OWNER),
    }
    other = make_membership(club, "Bashir")
    day = timedelta(days=1)
    closed = given.a_set(opens=now - 2 * day, closes=now - day)
    opened = given.a_set(opens=now - day / 2, closes=now + 20 * day)
    for who, plans in ((people["member"], ("D' R'", "R", None)), (other, ("D2 D R'", "R' D'"))):
        for number, plan in enumerate(plans, start=1):
            given.a_plan(who, closed, number, plan, at=now - 1.5 * day)
            if number == 1:
                given.a_plan(who, opened, number, plan, at=now)
    places = {
        "slug": club.slug,
        "set_id": opened.pk,
        "number": 2,
        "membership_id": other.pk,
        "day": now.date().isoformat(),
    }
    return {"people": people, "places": places}


def _unhindered(who: Any) -> str:
    """A fresh token, and no memory of how often its person has asked."""
    from django.core.cache import cache
    from knox.models import get_token_model

    from training.models import Scope
    from training.services.tokens import make_token

    for scope in ("person", "hand-in"):
        cache.delete(f"throttle_{scope}_{who.person.pk}")
    get_token_model().objects.filter(user=who.person).delete()
    _, secret = make_token(person=who.person, scopes=Scope)
    return f"Bearer {secret}"


if __name__ == "__main__":
    main()
