"""How long it takes to check a club's old plans anew and to switch.

    python -m tests.bench.recheck [plans]

100,000 plans unless told: forty members, five scrambles a set, all checked by
older rules, one result in a hundred then different. On SQLite and PostgreSQL;
the command shows its progress as it does for an operator.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
import tempfile
import time
import uuid

MEMBERS, SCRAMBLES = 40, 5


def main() -> None:
    """Measure on both databases."""
    if len(sys.argv) == 3:
        _measure(int(sys.argv[1]))
        return
    plans = sys.argv[1] if len(sys.argv) > 1 else "100000"
    from tests.stack.servers import Postgres

    with tempfile.TemporaryDirectory() as folder:
        _child(f"sqlite:///{folder}/club.sqlite3", plans, "SQLite")
    server = Postgres()
    try:
        with server.admin() as admin:
            admin.execute("CREATE DATABASE club")
        _child(server.url("club"), plans, "PostgreSQL")
    finally:
        server.stop()


def _child(url: str, plans: str, name: str) -> None:
    print(f"{name}:", flush=True)
    environ = {
        **os.environ,
        "DATABASE_URL": url,
        "DJANGO_SETTINGS_MODULE": "clubsite.settings.test",
        "LOG_LEVEL": "WARNING",
    }
    subprocess.run(
        [sys.executable, "-m", "tests.bench.recheck", plans, "-"], env=environ, check=True
    )


def _measure(plans: int) -> None:
    import django

    django.setup()
    from django.core.management import call_command

    from training.models import Verdict

    call_command("migrate", verbosity=0)
    _fill(plans)
    for name, options in (("checking", ["--look"]), ("switching", ["--with-closed"])):
        began = time.perf_counter()
        call_command("recheck", *options, stdout=io.StringIO())
        seconds = time.perf_counter() - began
        print(f"  {name}: {seconds:.0f} s, {plans / seconds:,.0f} plans a second")
    assert not Verdict.objects.filter(rules_version=1).exists()


def _fill(plans: int) -> None:
    from datetime import timedelta

    from django.utils import timezone

    from solverworker.review import check_plan
    from tests.bench.full_review import plans as made
    from training.models import Club, Membership, Person, Plan, Scramble, ScrambleSet, Verdict
    from training.services.verdicts import figures_of

    now = timezone.now()
    club = Club.objects.create(name="Lantern Street", slug="lantern-street", time_zone="UTC")
    members = [
        Membership.objects.create(
            club=club,
            person=Person.objects.create(sign_in_name=f"m{number}"),
            display_name=f"Member {number}",
        )
        for number in range(MEMBERS)
    ]
    sets = -(-plans // (MEMBERS * SCRAMBLES))
    texts = made(sets * SCRAMBLES)
    left = plans
    for number in range(sets):
        day = now - timedelta(days=sets - number)
        one = ScrambleSet.objects.create(
            club=club,
            day=day.date(),
            draw_method="-",
            opens_at=day,
            closes_at=day + timedelta(days=1),
            colours=["yellow"],
        )
        rows, verdicts = [], []
        for place in range(SCRAMBLES):
            scramble, plan = texts[number * SCRAMBLES + place]
            report = check_plan(scramble, plan, colours=["yellow"], shown=0)
            told = report.to_dict() | {"version": 1, "techniques": None, "handling": None}
            issued = Scramble.objects.create(scramble_set=one, number=place + 1, text=scramble)
            for member in members[: max(0, min(MEMBERS, left))]:
                left -= 1
                rows.append(
                    Plan(
                        scramble=issued,
                        membership=member,
                        written=plan,
                        canonical=plan,
                        key=uuid.uuid4(),
                        status="checked",
                        rules_version=1,
                    )
                )
                figures = figures_of(report)
                if left % 100 == 0 and figures["excess"] is not None:
                    figures |= {"moves": figures["moves"] + 1, "excess": figures["excess"] + 1}
                verdicts.append(Verdict(**figures, report=told, rules_version=1))
        Plan.objects.bulk_create(rows, 500)
        for row, verdict in zip(rows, verdicts, strict=True):
            verdict.plan = row
        Verdict.objects.bulk_create(verdicts, 500)


if __name__ == "__main__":
    main()
