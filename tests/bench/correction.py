"""How long a correction takes in a season of 10,000 plans, until every table shows it.

    python -m tests.bench.correction

40 members, 50 daily sets of five crosses, on SQLite and on PostgreSQL. Each correction is made
and undone a few times; then the tables of its set, its week, all time and the season are read, and
the bench ends with status 1 when one of them does not tell of it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
import uuid
from collections.abc import Callable
from datetime import datetime, timedelta
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from training.models import Correction, Membership, Season

MEMBERS, SETS, ROUNDS = 40, 50, 5
SCRAMBLES = ("R D", "D R", "R F", "F R", "R B")
PLANS = ("R U' R' B2 D'", "R' D'", "F' R'", "U", "B' R'")
"""Of each cross the plan that everybody has: one misses an idea, one solves nothing."""


def main() -> None:
    """Measure on both databases."""
    if len(sys.argv) == 2:
        _measure()
        return
    from tests.stack.servers import Postgres

    with tempfile.TemporaryDirectory() as folder:
        _child(f"sqlite:///{folder}/club.sqlite3", "SQLite")
    server = Postgres()
    try:
        with server.admin() as admin:
            admin.execute("CREATE DATABASE season")
        _child(server.url("season"), "PostgreSQL")
    finally:
        server.stop()


def _child(url: str, name: str) -> None:
    print(f"{name}, {MEMBERS * SETS * len(SCRAMBLES):,} plans:", flush=True)
    environ = {
        **os.environ,
        "DATABASE_URL": url,
        "DJANGO_SETTINGS_MODULE": "clubsite.settings.test",
        "LOG_LEVEL": "WARNING",
    }
    subprocess.run([sys.executable, "-m", "tests.bench.correction", "-"], env=environ, check=True)


def _measure() -> None:
    import django

    django.setup()
    from django.core.management import call_command
    from django.utils import timezone

    from training.models import Plan, Scramble, ScrambleSet
    from training.services import corrections

    call_command("migrate", verbosity=0)
    now = timezone.now().replace(hour=12)
    coach, season = _fill(now)
    middle = ScrambleSet.objects.order_by("opens_at")[SETS // 2]
    scramble = Scramble.objects.select_related("scramble_set").get(scramble_set=middle, number=1)
    plan = Plan.objects.filter(scramble=scramble).select_related("scramble__scramble_set")[3]
    for name, action in (
        (
            "withdraw a plan",
            lambda: corrections.withdraw_plan(plan=plan, by=coach, reason="x", now=now),
        ),
        (
            "void a scramble",
            lambda: corrections.void_scramble(scramble=scramble, by=coach, reason="x", now=now),
        ),
        (
            "take a set out",
            lambda: corrections.take_set_out(scramble_set=middle, by=coach, reason="x", now=now),
        ),
    ):
        _one(name, action, lambda: _tables(coach, season, middle, now), coach, now)
    print(f"  load of the machine {os.getloadavg()[0]:.1f}, {os.cpu_count()} processors")


def _one(
    name: str,
    action: Callable[[], Correction],
    read: Callable[[], list[object]],
    coach: Membership,
    now: datetime,
) -> None:
    """Make a correction, look at all tables, take it back; so some times."""
    from training.services import corrections

    made, seen = [], []
    before = read()
    for _ in range(ROUNDS):
        began = time.perf_counter()
        entry = action()
        made.append(time.perf_counter() - began)
        after = read()
        seen.append(time.perf_counter() - began)
        if any(one == other for one, other in zip(before, after, strict=True)):
            sys.exit(f"{name}: a table tells nothing of it")
        corrections.undo(correction=entry, by=coach, reason="back", now=now)
        if read() != before:
            sys.exit(f"{name}: it was taken back, and a table is not what it was")
    print(
        f"  {name}: made in {1000 * median(made):.0f} ms, seen in the tables of set, week, all "
        f"time and season after {1000 * median(seen):.0f} ms, median of {ROUNDS}"
    )


def _tables(coach: Membership, season: Season, of_set: object, now: datetime) -> list[object]:
    """What each table says of everybody: name, points, mean."""
    from training import clock
    from training.models import ScrambleSet
    from training.selectors import tables
    from training.selectors.seasons import season_table

    assert isinstance(of_set, ScrambleSet)
    week = clock.week_of(clock.closing_day(of_set.due_at, coach.club.zone))
    found = [
        tables.set_table(coach, of_set.pk, now),
        tables.week_table(coach, week, now),
        tables.all_time_table(coach, now),
        season_table(coach, season, now),
    ]
    return [[(row.member, row.score, row.mean) for row in table.rows] for table in found]


def _fill(now: datetime) -> tuple[Membership, Season]:
    from solverworker.review import check_plan
    from tests.counting import count_from_joining
    from training.models import (
        Club,
        Kind,
        Membership,
        Person,
        Plan,
        Scramble,
        ScrambleSet,
        Season,
    )
    from training.services.verdicts import record_history

    club = Club.objects.create(name="Bench", slug="bench", time_zone="UTC", colours=["yellow"])
    people = Person.objects.bulk_create(
        Person(sign_in_name=f"m{n}", password="!") for n in range(MEMBERS + 1)
    )
    rows = Membership.objects.bulk_create(
        Membership(
            club=club,
            person=person,
            display_name=f"Member {n:02}",
            role="member" if n else "owner",
            competes=n > 0,
            joined_at=now - timedelta(days=300),
        )
        for n, person in enumerate(people)
    )
    count_from_joining(*rows[1:])
    reports = [
        check_plan(text, written, colours=["yellow"])
        for text, written in zip(SCRAMBLES, PLANS, strict=True)
    ]
    checked = []
    for day in range(SETS, 0, -1):
        opens = now.replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=day)
        one = ScrambleSet.objects.create(
            club=club,
            draw_method="thirty_turns",
            colours=["yellow"],
            day=opens.date(),
            opens_at=opens,
            closes_at=opens + timedelta(days=1),
        )
        for number, text in enumerate(SCRAMBLES, start=1):
            scramble = Scramble.objects.create(scramble_set=one, number=number, text=text)
            checked += [
                (
                    Plan(
                        scramble=scramble,
                        membership=who,
                        written=PLANS[number - 1],
                        canonical=PLANS[number - 1],
                        key=uuid.uuid4(),
                        handed_in_at=opens + timedelta(hours=12),
                        rung_at=opens,
                    ),
                    reports[number - 1],
                )
                for who in rows[1:]
            ]
    record_history(checked=checked)
    season = Season.objects.create(
        club=club,
        name="Autumn",
        first_day=(now - timedelta(days=SETS + 1)).date(),
        last_day=now.date(),
        kinds=[Kind.DAILY],
    )
    return Membership.objects.select_related("club", "person").get(pk=rows[0].pk), season


if __name__ == "__main__":
    main()
