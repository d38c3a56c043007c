"""How long group review, progress and the look back at lessons take, from summaries.

For a club and for a federation, by the clock and in processor time of the web process.

    python -m tests.bench.group_review

40 members over 26 weeks of daily sets on SQLite and on PostgreSQL, 1,000
members on PostgreSQL. The rows are made up: only their number matters here.
"""

from __future__ import annotations

import importlib
import os
import random
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from tests.bench.timing import FIVE_CROSSES, median_of_both

if TYPE_CHECKING:
    from training.models import Membership
    from training.selectors.given_lessons import GivenLesson

WEEKS = 26
CODES = ("relative_build", "base_turn", "shared_turn", "step_aside", "undone_moves")


def main() -> None:
    if len(sys.argv) == 3:
        _measure(int(sys.argv[1]))
        return
    from tests.stack.servers import Postgres

    with tempfile.TemporaryDirectory() as folder:
        _child(f"sqlite:///{folder}/club.sqlite3", 40, "SQLite")
    server = Postgres()
    try:
        for members in (40, 1000):
            with server.admin() as admin:
                admin.execute(f"CREATE DATABASE club_{members}")
            _child(server.url(f"club_{members}"), members, "PostgreSQL")
    finally:
        server.stop()


def _child(url: str, members: int, name: str) -> None:
    print(f"{name}, {members:,} members, {WEEKS} weeks: ", end="", flush=True)
    environ = {
        **os.environ,
        "DATABASE_URL": url,
        "DJANGO_SETTINGS_MODULE": "clubsite.settings.test",
        "LOG_LEVEL": "WARNING",
    }
    subprocess.run(
        [sys.executable, "-m", "tests.bench.group_review", str(members), "-"],
        env=environ,
        check=True,
    )


def _measure(members: int) -> None:
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection
    from django.utils import timezone

    from training.models import Membership
    from training.selectors.group_reviews import group_review
    from training.selectors.lesson_changes import change_since
    from training.selectors.reviews import member_review

    call_command("migrate", verbosity=0)
    now = timezone.now()
    coach = _fill(members, now)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
    # As in the web process, which does this when it starts.
    importlib.import_module("clubsite.wsgi")
    someone = Membership.objects.select_related("club").filter(competes=True)[0]
    given = _given(coach, now)
    print()
    for name, action in (
        ("group review, 4 weeks", lambda: group_review(coach, now)),
        ("group review, 26 weeks", lambda: group_review(coach, now, weeks=WEEKS)),
        ("progress of one", lambda: member_review(someone, now, viewer=someone)),
        ("since a lesson on an idea", lambda: change_since(coach, given[0], given, now)),
        ("since a lesson on a slip", lambda: change_since(coach, given[1], given, now)),
    ):
        seconds, own = median_of_both(action, 5)
        print(f"  {name}: {1000 * seconds:.0f} ms, processor {1000 * own:.0f} ms, median of 5")
    print(f"  load of the machine {os.getloadavg()[0]:.1f}, {os.cpu_count()} processors")


def _given(coach: Membership, now: datetime) -> list[GivenLesson]:
    """A lesson on an idea for all, and one on a slip for half of them, eight weeks ago."""
    from training.models import Membership
    from training.selectors.given_lessons import GivenLesson

    day = (now - timedelta(weeks=8)).date()
    people = Membership.objects.filter(club=coach.club, competes=True).values_list("pk", flat=True)
    half = frozenset(people[: len(people) // 2])
    return [
        GivenLesson("base_turn", day),
        GivenLesson("wrong_direction", day, members=half),
    ]


def _fill(members: int, now: datetime) -> Membership:
    from tests.counting import count_from_joining
    from training.models import (
        Club,
        Membership,
        Person,
        Scramble,
        ScrambleSet,
        ScrambleSummary,
        SetSummary,
        TechniqueCount,
    )

    source = random.Random(5)
    club = Club.objects.create(name="Bench", slug="bench", time_zone="UTC")
    people = Person.objects.bulk_create(
        Person(sign_in_name=f"m{n}", password="!") for n in range(members + 1)
    )
    rows = Membership.objects.bulk_create(
        Membership(
            club=club,
            person=person,
            display_name=f"Member {n}",
            role="member" if n else "owner",
            competes=n > 0,
            joined_at=now - timedelta(days=300),
        )
        for n, person in enumerate(people)
    )
    count_from_joining(*rows)
    sets = ScrambleSet.objects.bulk_create(
        ScrambleSet(
            club=club,
            draw_method="random_state",
            day=(now - timedelta(days=n + 1)).date(),
            opens_at=now - timedelta(days=n + 1),
            closes_at=now - timedelta(days=n),
        )
        for n in range(7 * WEEKS - 7)
    )
    scrambles = Scramble.objects.bulk_create(
        Scramble(scramble_set=one, number=n, text="R U F") for one in sets for n in range(1, 6)
    )
    ScrambleSummary.objects.bulk_create(
        ScrambleSummary(
            scramble=one,
            plans=members,
            exact=source.randrange(members + 1),
            lost=source.randrange(3 * members),
            best=source.randrange(4, 8),
        )
        for one in scrambles
    )
    SetSummary.objects.bulk_create(
        (
            SetSummary(
                membership=who,
                scramble_set=one,
                plans=5,
                solved=5,
                exact=2,
                lost=4,
                points=4,
                crosses=FIVE_CROSSES,
                ends_on_bottom=5,
                turns_cube_late=0,
                back_turns=1,
                half_turns=3,
            )
            for who in rows[1:]
            for one in sets
        ),
        batch_size=2000,
    )
    TechniqueCount.objects.bulk_create(
        (
            TechniqueCount(
                membership=who,
                scramble_set=one,
                code=code,
                called=(called := source.randrange(4)),
                answered=source.randrange(called + 1),
                lost=source.random(),
            )
            for who in rows[1:]
            for one in sets
            for code in CODES
        ),
        batch_size=2000,
    )
    return Membership.objects.select_related("club").get(pk=rows[0].pk)


if __name__ == "__main__":
    main()
