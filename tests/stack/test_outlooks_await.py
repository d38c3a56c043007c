"""A club of before plans had outlooks is brought up: one waits for each verdict."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

OLDER = """
import datetime, gc, json, django
django.setup()
# States of so many models are made here that a look for garbage at each takes a fifth of the time.
gc.disable()
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

BEFORE = ("training", "0025_leaving_is_in_periods")
call_command("migrate", "training", "0025", verbosity=0)
from solverworker.review import check_plan
now = datetime.datetime(2026, 11, 25, 12, tzinfo=datetime.timezone.utc)
old = MigrationExecutor(connection).loader.project_state(BEFORE).apps
of = lambda name: old.get_model("training", name)
club = of("Club").objects.create(name="Cobble Yard", slug="cobble-yard", time_zone="Europe/Oslo")
people = [of("Person").objects.create(sign_in_name=name, password="!") for name in ("ines", "gone")]
ines = of("Membership").objects.create(
    club=club, person=people[0], display_name="Ines", joined_at=now
)
gone = of("Membership").objects.create(
    club=club, person=people[1], display_name="", joined_at=now, standing="former"
)
scrambles = of("ScrambleSet").objects.create(
    club=club, kind="daily", opens_at=now, closes_at=now + datetime.timedelta(days=1),
    day=now.date(), draw_method="thirty_turns", colours=["yellow"],
)
scramble = of("Scramble").objects.create(scramble_set=scrambles, number=1, text="R D")
report = check_plan("R D", "D' R'", colours=["yellow"]).to_dict()
figures = {name: report[name] for name in
           ("solved", "colour", "moves", "best", "excess", "colour_choice", "distance_left")}
for number, who in enumerate((ines, gone)):
    plan = of("Plan").objects.create(
        membership=who, scramble=scramble, status="checked",
        canonical="D' R'" if who is ines else "",
        key=f"00000000-0000-4000-8000-{number:012}", handed_in_at=now, rung_at=now, rules_version=3,
    )
    of("Verdict").objects.create(plan=plan, rules_version=3, report=report, **figures)
call_command("migrate", verbosity=0)
from solverworker import tasks
from training.models import Outlook
from training.services import outlooks
waiting = [(one.plan.membership.display_name, one.version) for one in Outlook.objects.all()]
made = outlooks.work(make=tasks.outlook_maker)
print(json.dumps([waiting, made, Outlook.objects.get().facts["own"]["left"]]))
"""


@pytest.mark.parametrize("server", ["sqlite", "postgresql"])
def test_the_verdicts_of_before_wait_and_are_made(
    server: str, folder: Path, request: pytest.FixtureRequest
) -> None:
    address = "" if server == "sqlite" else request.getfixturevalue("empty_url")
    surroundings = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "clubsite.settings.base",
        "SECRET_KEY": "only-for-tests-" + "0123456789abcdef" * 3,
        "WITHIN_EIGHT_DATA": str(folder),
        "DATABASE_URL": address,
    }
    done = subprocess.run(
        [sys.executable, "-c", OLDER],
        env=surroundings,
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    # Of a former member nothing is left to look at.
    assert json.loads(done.stdout.splitlines()[-1]) == [[["Ines", 0]], 1, 0]
