"""A federation on PostgreSQL: 500 clubs, 10,000 members, daily sets; what its pages cost there.

    python -m tests.bench.federation [DAYS [CLUBS [FILE_FOR_EXECUTION_PLANS [URL]]]]

40 days of 500 clubs unless told: 20 members, five crosses a day, so 2 million plans; 365 days are
18.25 million. Rows are made in bulk from the reports of real checks. Told for each page: its
queries and the time that they take in the database (EXPLAIN ANALYZE, the least of 15 and the
median, the pages read before); and what a plan takes on disk. The execution plans go to the file,
or to standard error. With the URL of a PostgreSQL database that one is filled when it has no club
yet, and is left as it is: what took half an hour to fill can be measured again.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.bench.timing import FIVE_CROSSES, show

if TYPE_CHECKING:
    from solverworker.report import PlanReport
    from training.models import Membership

MEMBERS, CROSSES = 20, 5
REPORTS = 1000
ROUNDS = 15


def main(arguments: list[str]) -> None:
    """Start a server, and measure in a process that has its address."""
    if arguments[:1] == ["-"]:
        days, clubs = map(int, arguments[1:3])
        _measure(days, clubs, Path(arguments[3]) if arguments[3:] else None)
        return
    from tests.stack.servers import Postgres

    words = [*arguments[:2], *("40", "500")[len(arguments) :], *arguments[2:3]]
    if arguments[3:]:
        _in_a_process(arguments[3], words)
        return
    server = Postgres()
    try:
        with server.admin() as admin:
            admin.execute("CREATE DATABASE federation")
        _in_a_process(server.url("federation"), words)
    finally:
        server.stop()


def _in_a_process(address: str, words: list[str]) -> None:
    environ = {
        **os.environ,
        "DATABASE_URL": address,
        "DJANGO_SETTINGS_MODULE": "clubsite.settings.test",
        "LOG_LEVEL": "WARNING",
    }
    command = [sys.executable, "-m", "tests.bench.federation", "-", *words]
    subprocess.run(command, env=environ, check=True)


def _measure(days: int, clubs: int, file: Path | None) -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from training.models import Club, Membership

    call_command("migrate", verbosity=0)
    began = time.perf_counter()
    told = []
    if not Club.objects.exists():
        _fill(days, clubs)
        told = [("rows made in", f"{time.perf_counter() - began:.0f} s")]
    told += _sizes()
    people = Membership.objects.select_related("club", "person").filter(
        club__slug=f"club-{clubs // 2}"
    )
    coach = people.get(role="owner")
    member = people.filter(role="member").order_by("pk")[7]
    explained: list[str] = []
    for name, page in _pages(coach, member):
        queries, least, middle, plans = _cost(page)
        explained += [f"=== {name}", *plans]
        told.append((name, f"{queries} queries, {least:.1f} ms in the database ({middle:.1f} ms)"))
    told.append(("one report read and made whole", _one_report()))
    show(told)
    text = "\n".join(explained)
    if file is None:
        print(text, file=sys.stderr)
    else:
        file.write_text(text + "\n")


def _pages(coach: Membership, member: Membership) -> list[tuple[str, Callable[[], Any]]]:
    from django.utils import timezone

    from training import clock
    from training.selectors import group_reviews, reviews, tables

    now = timezone.now()
    day = clock.local_date(now, coach.club.zone) - timedelta(days=1)
    return [
        ("table of a day", lambda: tables.day_table(member, day, now)),
        ("table of a week", lambda: tables.week_table(member, day - timedelta(days=7), now)),
        ("table of all time", lambda: tables.all_time_table(member, now)),
        ("a member's progress", lambda: reviews.review_for(member, member.pk, now)),
        ("group review, 4 weeks", lambda: group_reviews.group_review(coach, now)),
        ("group review, 26 weeks", lambda: group_reviews.group_review(coach, now, weeks=26)),
    ]


def _cost(page: Callable[[], Any]) -> tuple[int, float, float, list[str]]:
    """Queries, milliseconds in the database (least, median), execution plans of a page."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    page()
    with CaptureQueriesContext(connection) as captured:
        page()
    queries = [one["sql"] for one in captured.captured_queries]
    least = middle = 0.0
    plans = []
    with connection.cursor() as cursor:
        for sql in queries:
            times = []
            for _ in range(ROUNDS):
                cursor.execute(
                    "EXPLAIN (ANALYZE, TIMING OFF, BUFFERS) " + sql.replace("%", "%%"), []
                )
                lines = [row[0] for row in cursor.fetchall()]
                (took,) = (one for one in lines if one.startswith("Execution Time"))
                times.append(float(took.split()[2]))
            least += min(times)
            middle += statistics.median(times)
            plans += [sql[:2000], *lines, ""]
    return len(queries), least, middle, plans


def _sizes() -> list[tuple[str, str]]:
    from django.db import connection

    from training.models import Plan, Verdict

    told = []
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM training_plan")
        count = cursor.fetchone()[0]
        told.append(("plans", f"{count:,}"))
        for model in (Plan, Verdict):
            table = model._meta.db_table
            cursor.execute(
                "SELECT pg_relation_size(%s), pg_indexes_size(%s), pg_total_relation_size(%s)",
                [table, table, table],
            )
            rows, indexes, total = (one / count for one in cursor.fetchone())
            told.append(
                (
                    f"bytes a plan in {table}",
                    f"{total:.0f} (rows {rows:.0f}, indexes {indexes:.0f}, "
                    f"set apart {total - rows - indexes:.0f})",
                )
            )
        cursor.execute("SELECT pg_database_size(current_database())")
        whole = cursor.fetchone()[0]
    told.append(("database", f"{whole / 1e9:.1f} GB, {whole / count:.0f} bytes a plan"))
    return told


def _one_report() -> str:
    from solverworker.report import PlanReport
    from training.models import Verdict

    first, last = Verdict.objects.order_by("pk")[0].pk, Verdict.objects.order_by("-pk")[0].pk
    source, times = random.Random(3), []
    for _ in range(200):
        wanted = source.randint(first, last)
        began = time.perf_counter()
        PlanReport.from_dict(Verdict.objects.only("report").get(pk=wanted).report)
        times.append(time.perf_counter() - began)
    return f"{1e6 * min(times):.0f} µs ({1e6 * statistics.median(times):.0f} µs)"


# Rows ---------------------------------------------------------------------------


def some_reports() -> list[tuple[str, PlanReport]]:
    """Plans with their reports: exact ones, some with a detour, some a move short."""
    from solverworker import review
    from solverworker.search.scramble import draw_scrambles

    source, made = random.Random(16), []
    for scramble in draw_scrambles(REPORTS, "federation").texts:
        found = review.check_plan(scramble, "", colours=["yellow"])
        moves = found.shortest[0].text.split()
        kind, place = source.random(), source.randrange(1, len(moves) + 1)
        if kind > 0.85:
            moves = moves[:-1]
        elif kind > 0.4:
            moves[place:place] = ["U", "U'"] if kind > 0.7 else ["L", "L'"]
        plan = " ".join(moves)
        made.append((plan, review.check_plan(scramble, plan, colours=["yellow"])))
    return made


def _fill(days: int, clubs: int) -> None:
    from django.db import connection

    from training.models.compact import pack
    from training.services.verdicts import figures_of, techniques_of

    made = some_reports()
    _clubs_and_sets(days, clubs)
    with connection.cursor() as cursor:
        # Without the checks of foreign keys, which hold by how the rows are made.
        cursor.execute("SET session_replication_role = replica")
        cursor.execute(
            "CREATE TEMP TABLE made (n int, plan text, report bytea, techniques jsonb,"
            " solved bool, colour text, moves int, best int, excess int, colour_choice int,"
            " distance_left int)"
        )
        with cursor.copy("COPY made FROM STDIN") as copy:
            for number, (plan, report) in enumerate(made):
                kept = pack(report.to_dict()), json.dumps(techniques_of(report))
                row = (number, plan, *kept, *figures_of(report).values())
                copy.write_row(row)
        for statement in (PLANS, VERDICTS, SET_SUMMARIES, TECHNIQUE_COUNTS, SCRAMBLE_SUMMARIES):
            cursor.execute(statement)
        cursor.execute("SET session_replication_role = DEFAULT")
        cursor.execute("VACUUM ANALYZE")


def _clubs_and_sets(days: int, number_of_clubs: int) -> None:
    from django.utils import timezone

    from tests.counting import count_from_joining
    from training.models import Club, Membership, Person, Scramble, ScrambleSet, Series

    midnight = timezone.now().replace(hour=0, minute=0, second=0, microsecond=0)
    first = midnight - timedelta(days=days)
    clubs = Club.objects.bulk_create(
        Club(name=f"Club {n}", slug=f"club-{n}", time_zone="UTC") for n in range(number_of_clubs)
    )
    Series.objects.bulk_create(Series(club=one) for one in clubs)
    people = Person.objects.bulk_create(
        [
            Person(sign_in_name=f"m{n}", password="!")
            for n in range(number_of_clubs * (MEMBERS + 1))
        ],
        5000,
    )
    Membership.objects.bulk_create(
        [
            Membership(
                club=clubs[n // (MEMBERS + 1)],
                person=person,
                display_name=f"Member {n}",
                role="member" if n % (MEMBERS + 1) else "owner",
                competes=n % (MEMBERS + 1) > 0,
                joined_at=first - timedelta(days=1),
            )
            for n, person in enumerate(people)
        ],
        5000,
    )
    count_from_joining(*Membership.objects.all())
    sets = ScrambleSet.objects.bulk_create(
        [
            ScrambleSet(
                club=club,
                draw_method="random_state",
                day=(first + timedelta(days=n)).date(),
                opens_at=first + timedelta(days=n),
                closes_at=first + timedelta(days=n + 1),
                finished_at=first + timedelta(days=n + 1),
            )
            for n in range(days)
            for club in clubs
        ],
        5000,
    )
    Scramble.objects.bulk_create(
        (
            Scramble(scramble_set=one, number=number, text="F2 B U2 D' U2 L R D L' F' B L U D")
            for one in sets
            for number in range(1, CROSSES + 1)
        ),
        5000,
    )


# As they come in: day after day, the members of all clubs mixed, each with a whole set.
PLANS = f"""
INSERT INTO training_plan (scramble_id, membership_id, kind, written, canonical, key, handed_in_at,
    status, attempts, rung_at, failure_reason, rules_version, pair_written, pair_canonical)
SELECT s.id, m.id, 'moves', made.plan, made.plan, gen_random_uuid(), t.opens_at + '9 hours',
    'checked', 1, t.opens_at + '9 hours', '', 2, '', ''
FROM training_scrambleset t
    JOIN training_scramble s ON s.scramble_set_id = t.id
    JOIN training_membership m ON m.club_id = t.club_id AND m.competes
    JOIN made ON made.n = (s.id * 31 + m.id * 7) % {REPORTS}
ORDER BY t.opens_at, hashint8(m.id + t.id), s.number"""
VERDICTS = f"""
INSERT INTO training_verdict (plan_id, solved, colour, moves, best, excess, colour_choice,
    distance_left, report, techniques, rules_version, checked_at)
SELECT p.id, solved, colour, moves, best, excess, colour_choice, distance_left, report,
    techniques, 2, p.handed_in_at
FROM training_plan p JOIN made ON made.n = (p.scramble_id * 31 + p.membership_id * 7) % {REPORTS}
ORDER BY p.id"""
SET_SUMMARIES = f"""
INSERT INTO training_setsummary (membership_id, scramble_set_id, counts, plans, solved, exact, lost,
    points, crosses, ends_on_bottom, turns_cube_late, back_turns, half_turns)
SELECT p.membership_id, s.scramble_set_id, true, count(*), count(*) FILTER (WHERE v.solved),
    count(*) FILTER (WHERE v.excess = 0), coalesce(sum(v.excess), 0),
    sum(CASE WHEN v.solved THEN least(v.excess, 8) ELSE 8 END),
    '{json.dumps(FIVE_CROSSES)}', 5, 0, 1, 3
FROM training_plan p JOIN training_verdict v ON v.plan_id = p.id
    JOIN training_scramble s ON s.id = p.scramble_id
GROUP BY 1, 2 ORDER BY 2, 1"""
TECHNIQUE_COUNTS = """
INSERT INTO training_techniquecount
    (membership_id, scramble_set_id, counts, code, called, answered, lost)
SELECT membership_id, scramble_set_id, true, code, 2, (membership_id + scramble_set_id) % 3, 0.5
FROM training_setsummary, unnest(ARRAY['relative_build', 'base_turn', 'shared_turn', 'step_aside',
    'undone_moves', 'spare_sides', 'colour_choice']) code"""
SCRAMBLE_SUMMARIES = """
INSERT INTO training_scramblesummary (scramble_id, plans, exact, lost, best)
SELECT p.scramble_id, count(*), count(*) FILTER (WHERE v.excess = 0),
    coalesce(sum(v.excess), 0), min(v.best)
FROM training_plan p JOIN training_verdict v ON v.plan_id = p.id
GROUP BY 1 ORDER BY 1"""


if __name__ == "__main__":
    main(sys.argv[1:])
