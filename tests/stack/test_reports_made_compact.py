"""A club of before reports were kept compactly is brought up: each report is what it was."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from solverworker.review import check_plan

OLDER = """
import datetime, gc, json, sys, django
django.setup()
# States of so many models are made here that a look for garbage at each takes a fifth of the time.
gc.disable()
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

call_command("migrate", "training", "0020", verbosity=0)
old = MigrationExecutor(connection).loader.project_state(("training", "0020_practice_by_answers"))
of = lambda name: old.apps.get_model("training", name)
now = datetime.datetime(2026, 11, 25, 12, tzinfo=datetime.timezone.utc)
club = of("Club").objects.create(name="Cobble Yard", slug="cobble-yard", time_zone="Europe/Oslo")
person = of("Person").objects.create(sign_in_name="ines", password="!")
who = of("Membership").objects.create(club=club, person=person, display_name="Ines", joined_at=now)
scrambles = of("ScrambleSet").objects.create(
    club=club, kind="daily", opens_at=now, closes_at=now + datetime.timedelta(days=1),
    day=now.date(), draw_method="thirty_turns", colours=["yellow"],
)
reports = json.load(sys.stdin)
for number, report in enumerate(reports, start=1):
    scramble = of("Scramble").objects.create(scramble_set=scrambles, number=number, text="R D")
    plan = of("Plan").objects.create(
        membership=who, scramble=scramble, status="checked", written="", canonical="",
        key=f"00000000-0000-4000-8000-{number:012}", handed_in_at=now, rung_at=now, rules_version=3,
    )
    figures = {name: report[name] for name in
               ("solved", "colour", "moves", "best", "excess", "colour_choice", "distance_left")}
    of("Verdict").objects.create(plan=plan, rules_version=3, report=report, **figures)
    of("Recheck").objects.create(plan=plan, rules_version=3, changes=False, report=report)
call_command("migrate", verbosity=0)
# There and back and there: nothing of a report is lost on the way.
call_command("migrate", "training", "0020", verbosity=0)
again = [one.report for one in of("Verdict").objects.order_by("plan__scramble__number")]
assert again == reports, again
call_command("migrate", verbosity=0)
from training.models import Recheck, Verdict
print(json.dumps([
    [one.report, one.techniques, Recheck.objects.get(plan=one.plan_id).report]
    for one in Verdict.objects.order_by("plan__scramble__number")
]))
"""


@pytest.mark.parametrize("server", ["sqlite", "postgresql"])
def test_each_report_is_what_it_was(
    server: str, folder: Path, request: pytest.FixtureRequest
) -> None:
    address = "" if server == "sqlite" else request.getfixturevalue("empty_url")
    reports = [
        check_plan("R D", plan, colours=["yellow"]).to_dict() for plan in ("D' R'", "D D2 R'", "D")
    ]
    # As a version before ideas were told wrote it.
    reports.append({**reports[0], "techniques": None, "version": 1})
    done = subprocess.run(
        [sys.executable, "-c", OLDER],
        input=json.dumps(reports),
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "clubsite.settings.base",
            "WITHIN_EIGHT_DATA": str(folder),
            "DATABASE_URL": address,
        },
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    asked = ("called", "answered", "blame")
    for one, (report, techniques, again) in zip(reports, told, strict=True):
        of = one["techniques"]
        assert report == again == one
        assert techniques == (of and {name: of[name] for name in asked})
