"""A club of before belonging had times is brought up: who was in a group belongs since joining."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

OLDER = """
import datetime, django, gc
django.setup()
# States of so many models are made here that a look for garbage at each takes a fifth of the time.
gc.disable()
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

before = ("training", "0033_kept_open_from")
call_command("migrate", *before, verbosity=0)
old = MigrationExecutor(connection).loader.project_state(before)
of = lambda name: old.apps.get_model("training", name)
utc = datetime.timezone.utc
# By the club's calendar, in Oslo, this is the 25th.
joined = datetime.datetime(2026, 11, 24, 23, 30, tzinfo=utc)
club = of("Club").objects.create(name="Cobble Yard", slug="cobble-yard", time_zone="Europe/Oslo")
swifts, larks = (of("Group").objects.create(club=club, name=name) for name in ("Swifts", "Larks"))
for number, groups in enumerate(([swifts], [larks, swifts], [])):
    person = of("Person").objects.create(sign_in_name=f"m{number}", password="!")
    who = of("Membership").objects.create(
        club=club, person=person, display_name=f"M{number}", joined_at=joined
    )
    for one in groups:
        who.groups.add(one)
# There and back, as far as the times of groups, and then all the way.
call_command("migrate", "training", "0041", verbosity=0)
call_command("migrate", *before, verbosity=0)
there = [
    [group.name for group in one.groups.all()]
    for one in of("Membership").objects.order_by("display_name")
]
assert there == [["Swifts"], ["Swifts"], []], there
call_command("migrate", verbosity=0)
from training.models import GroupTime
for one in GroupTime.objects.order_by("membership__display_name"):
    print(one.membership.display_name, one.group.name, one.begins_at.isoformat(), one.ends_at)
"""


@pytest.mark.parametrize("server", ["sqlite", "postgresql"])
def test_who_was_in_a_group_belongs_since_joining(
    server: str, folder: Path, request: pytest.FixtureRequest
) -> None:
    done = subprocess.run(
        [sys.executable, "-c", OLDER],
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "clubsite.settings.base",
            "WITHIN_EIGHT_DATA": str(folder),
            "DATABASE_URL": "" if server == "sqlite" else request.getfixturevalue("empty_url"),
        },
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    # Midnight of the 25th in Oslo; of several groups the one that was noted last.
    assert done.stdout.splitlines() == [
        "M0 Swifts 2026-11-24T23:00:00+00:00 None",
        "M1 Swifts 2026-11-24T23:00:00+00:00 None",
    ]
