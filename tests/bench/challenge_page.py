"""How long the page of a challenge takes in a club of 500 members, whole, by its process.

    python -m tests.bench.challenge_page

Five crosses, 500 members with a plan for each, a season beside it; while members ask, and once it
is confirmed and corrected since. On SQLite and on PostgreSQL. The rows are made up: only their
number matters. Ends with status 1 when a page does not tell of all members.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import uuid
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from tests.bench.timing import median_of_both

if TYPE_CHECKING:
    from training.models import Challenge, Membership

MEMBERS = 500


def main() -> None:
    if len(sys.argv) == 2:
        _measure()
        return
    from tests.stack.servers import Postgres

    with tempfile.TemporaryDirectory() as folder:
        _child(f"sqlite:///{folder}/club.sqlite3", "SQLite")
    server = Postgres()
    try:
        with server.admin() as admin:
            admin.execute("CREATE DATABASE club")
        _child(server.url("club"), "PostgreSQL")
    finally:
        server.stop()


def _child(url: str, name: str) -> None:
    print(f"{name}, {MEMBERS} members", flush=True)
    environ = {
        **os.environ,
        "DATABASE_URL": url,
        "DJANGO_SETTINGS_MODULE": "clubsite.settings.test",
        "LOG_LEVEL": "WARNING",
    }
    subprocess.run(
        [sys.executable, "-m", "tests.bench.challenge_page", "-"], env=environ, check=True
    )


def _measure() -> None:
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection
    from django.test import Client
    from django.utils import timezone

    from training.models import Plan
    from training.services.confirming import confirm
    from training.services.corrections import withdraw_plan

    call_command("migrate", verbosity=0)
    now = timezone.now()
    coach, someone, challenge = _fill(now)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
    client = Client()
    client.force_login(someone.person, backend="training.services.backends.PhraseBackend")
    place = f"/c/bench/challenges/{challenge.pk}/"

    def page() -> None:
        text = client.get(place, headers={"host": "localhost"}).content.decode()
        if text.count("Member ") < MEMBERS:
            raise SystemExit("The page does not tell of all members.")

    def measured(name: str) -> None:
        page()
        seconds, own = median_of_both(page, 9)
        print(f"  {name}: {1000 * seconds:.0f} ms, processor {1000 * own:.0f} ms, median of 9")

    measured("while members ask")
    confirm(challenge=challenge, by=coach, now=now)
    plan = Plan.objects.select_related("scramble__scramble_set", "membership").order_by("pk")[0]
    withdraw_plan(plan=plan, by=coach, reason="mix-up")
    measured("confirmed, corrected since")
    print(f"  load of the machine {os.getloadavg()[0]:.1f}, {os.cpu_count()} processors")


def _fill(now: datetime) -> tuple[Membership, Membership, Challenge]:
    from solverworker.review import check_plan
    from tests.counting import count_from_joining
    from training.models import (
        Challenge,
        Club,
        Kind,
        Membership,
        Person,
        Plan,
        Scramble,
        ScrambleSet,
        Season,
        Verdict,
    )

    source = random.Random(7)
    club = Club.objects.create(name="Bench", slug="bench", time_zone="UTC")
    Season.objects.create(
        club=club,
        name="All of it",
        first_day=now.date() - timedelta(days=60),
        last_day=now.date() + timedelta(days=60),
        kinds=["challenge"],
    )
    people = Person.objects.bulk_create(
        Person(sign_in_name=f"m{n}", password="!", last_login=now - timedelta(days=90))
        for n in range(MEMBERS + 1)
    )
    rows = Membership.objects.bulk_create(
        Membership(
            club=club,
            person=person,
            display_name=f"Member {n}",
            role="member" if n else "owner",
            competes=n > 0,
            joined_at=now - timedelta(days=90),
        )
        for n, person in enumerate(people)
    )
    count_from_joining(*rows)
    a_set = ScrambleSet.objects.create(
        club=club,
        kind=Kind.CHALLENGE,
        draw_method="random_state",
        scrambles_wanted=5,
        day=(now - timedelta(days=3)).date(),
        opens_at=now - timedelta(days=3),
        closes_at=now - timedelta(hours=5),
        answers_to="closing",
        table_to="closing",
    )
    challenge = Challenge.objects.create(
        scramble_set=a_set, number=1, announced_at=now - timedelta(days=5)
    )
    scrambles = Scramble.objects.bulk_create(
        Scramble(scramble_set=a_set, number=n, text="R U F") for n in range(1, 6)
    )
    plans = Plan.objects.bulk_create(
        (
            Plan(
                scramble=one,
                membership=who,
                written="R",
                canonical="R",
                key=uuid.UUID(int=source.getrandbits(128), version=4),
                handed_in_at=now - timedelta(days=1),
                status="checked",
                rules_version=1,
            )
            for who in rows[1:]
            for one in scrambles
        ),
        batch_size=1000,
    )
    report = check_plan("R D", "D' R'", colours=["yellow"]).to_dict()
    Verdict.objects.bulk_create(
        (
            Verdict(
                plan=plan,
                solved=True,
                colour="white",
                moves=5 + (excess := source.randrange(4)),
                best=5,
                excess=excess,
                distance_left=0,
                report=report,
                rules_version=1,
                checked_at=now - timedelta(days=1),
            )
            for plan in plans
        ),
        batch_size=1000,
    )
    challenge.scramble_set.club = club
    someone = Membership.objects.select_related("person", "club").get(pk=rows[1].pk)
    return rows[0], someone, challenge


if __name__ == "__main__":
    main()
