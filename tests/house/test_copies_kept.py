"""A copy lets nobody in; copies are kept within bounds; what killed runs left is cleared away.

Common practice, no source.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import socket
import sqlite3
import subprocess
import sys
from contextlib import closing
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.test import Client
from rest_framework.test import APIClient

from clubsite.deploy import backups
from clubsite.deploy.checkout import ROOT
from clubsite.management.commands.backup import _bound
from tests.conftest import PHRASE
from training.models import Membership
from training.services import accounts


@pytest.mark.django_db(transaction=True)
def test_a_copy_lets_nobody_in(coach: Membership, member: Membership, tmp_path: Path) -> None:
    browser = Client()
    browser.post("/sign-in/", {"sign_in_name": "ines", "phrase": PHRASE})
    body = {"sign_in_name": "ines", "phrase": PHRASE}
    token = APIClient().post("/api/v1/tokens/", body, format="json").json()["token"]
    accounts.make_sign_in_code(by=coach, membership=member)
    keys = [browser.cookies["sessionid"].value, token[:15]]
    database, copy = Path(connection.settings_dict["NAME"]), tmp_path / "copy.sqlite3"
    backups.write_copy(database, copy)
    rows = ("django_session", "knox_authtoken", "training_signincode")
    with closing(sqlite3.connect(database)) as now, closing(sqlite3.connect(copy)) as kept:
        for table in rows:
            count = f"SELECT count(*) FROM {table}"
            assert now.execute(count).fetchone()[0] > 0, table
            assert kept.execute(count).fetchone()[0] == 0, table
        assert kept.execute("SELECT count(*) FROM training_membership").fetchone()[0] == 2
        # What is left points to nothing that is gone.
        assert kept.execute("PRAGMA foreign_key_check").fetchall() == []
    held = copy.read_bytes()
    assert [key for key in keys if key.encode() in held] == []


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Five copies of a thousand bytes each, of all kinds, and what is none."""
    for day, reason in enumerate(
        ("before-upgrade", "by-hand", "before-restore", "by-hand", "before-upgrade"), start=1
    ):
        (tmp_path / f"club-2026110{day}T120000Z-{reason}.sqlite3").write_bytes(bytes(1000))
    (tmp_path / "club-20261101T000000Z-damaged.sqlite3").write_bytes(bytes(1000))
    (tmp_path / "mine.sqlite3").write_bytes(bytes(1000))
    return tmp_path


def days(folder: Path) -> list[str]:
    return sorted(path.name[12] for path in folder.glob("club-2*T120000Z-*"))


@pytest.mark.parametrize(
    ("bounds", "left"),
    [
        ({}, "12345"),
        ({"keep": 3}, "345"),
        ({"keep": 9}, "12345"),
        ({"most_bytes": 2500}, "45"),
        ({"most_bytes": 2000, "keep": 4}, "45"),
        ({"most_bytes": 9999, "keep": 1}, "5"),
        # Never the last one, however large it is.
        ({"most_bytes": 1}, "5"),
    ],
)
def test_the_oldest_go_first_and_the_newest_stays(
    folder: Path, bounds: dict[str, int], left: str
) -> None:
    gone = backups.prune(folder, **bounds)
    assert "".join(days(folder)) == left
    assert len(gone) == 5 - len(left)
    assert (folder / "mine.sqlite3").exists()
    assert (folder / "club-20261101T000000Z-damaged.sqlite3").exists()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("told", ["flag", "setting", "nothing"])
def test_backup_keeps_to_the_bounds(club: Any, tmp_path: Path, settings: Any, told: str) -> None:
    settings.DATA = tmp_path
    folder = tmp_path / "backups"
    folder.mkdir()
    for day in (1, 2, 3):
        (folder / f"club-2026010{day}T120000Z-by-hand.sqlite3").write_bytes(bytes(1000))
    options: dict[str, Any] = {"flag": {"keep": 2}, "setting": {}, "nothing": {}}[told]
    settings.COPIES_KEPT = 2 if told == "setting" else 0
    out = StringIO()
    call_command("backup", stdout=out, **options)
    assert len(list(folder.iterdir())) == (4 if told == "nothing" else 2)
    assert out.getvalue().count("Deleted, one of the oldest:") == (0 if told == "nothing" else 2)
    # A place of the operator's own is none of ours to clear.
    call_command("backup", to=str(tmp_path / "own.sqlite3"), stdout=StringIO(), keep=1)
    assert len(list(folder.iterdir())) == (4 if told == "nothing" else 2)


@pytest.mark.parametrize("text", ["0", "-1", "many", "1.5", ""])
def test_a_bound_is_a_number_from_one(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError):
        _bound(text)


# What killed runs left -------------------------------------------------------------

SLOW = """
import sys, time
from pathlib import Path
from clubsite.deploy import backups
def slow(path):
    print("writing", flush=True)
    time.sleep(60)
backups.check = slow
backups.copy_database(Path(sys.argv[1]), Path(sys.argv[2]), "by-hand")
"""


@pytest.fixture
def database(tmp_path: Path) -> Path:
    path = tmp_path / "club.sqlite3"
    with closing(sqlite3.connect(path)) as made:
        made.execute("CREATE TABLE plan (n INTEGER)")
    return path


@pytest.fixture
def writer(database: Path, tmp_path: Path) -> Any:
    """A process in the middle of writing a copy."""
    process = subprocess.Popen(
        [sys.executable, "-c", SLOW, str(database), str(tmp_path / "backups")],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )
    with process:
        assert process.stdout is not None
        assert process.stdout.readline() == "writing\n"
        yield process
        process.kill()


def unfinished(folder: Path) -> list[Path]:
    return list(folder.glob("*.unfinished*"))


def test_a_killed_copy_is_cleared_away_by_the_next_and_one_in_use_never(
    writer: subprocess.Popen[str], database: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "backups"
    (begun,) = unfinished(folder)
    made = backups.copy_database(database, folder, backups.BY_HAND)
    assert made.exists()
    assert begun.exists()
    writer.send_signal(signal.SIGKILL)
    writer.wait()
    assert begun.exists()
    (folder / f"{begun.name}-journal").touch()
    backups.copy_database(database, folder, backups.BY_HAND)
    assert unfinished(folder) == []
    assert len(list(folder.iterdir())) == 2


def test_the_same_copy_is_not_written_twice_at_once(
    writer: subprocess.Popen[str], database: Path, tmp_path: Path
) -> None:
    (begun,) = unfinished(tmp_path / "backups")
    with pytest.raises(FileExistsError):
        backups.write_copy(database, begun.with_suffix(""))
    assert begun.exists()


def test_a_file_named_by_hand_is_cleared_of_its_own_remains_alone(
    database: Path, tmp_path: Path
) -> None:
    for name in ("own.sqlite3.unfinished", "other.sqlite3.unfinished", "o[w]n.sqlite3.unfinished"):
        (tmp_path / name).touch()
    backups.write_copy(database, tmp_path / "own.sqlite3")
    backups.write_copy(database, tmp_path / "o[w]n.sqlite3")
    assert [path.name for path in unfinished(tmp_path)] == ["other.sqlite3.unfinished"]


def test_a_file_system_without_locks_is_written_to_and_not_cleared(
    database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(handle: int, how: int) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(backups.fcntl, "flock", refuse)
    (tmp_path / "club-x.sqlite3.unfinished").touch()
    assert backups.copy_database(database, tmp_path, backups.BY_HAND).exists()
    assert len(unfinished(tmp_path)) == 1


@pytest.mark.stack
def test_serve_clears_away_what_a_killed_restore_left(tmp_path: Path) -> None:
    """It goes before anything is started, so the taken port is met afterwards."""
    data = tmp_path / "data"
    (data / "backups").mkdir(parents=True)
    (data / "folder.json").write_text(json.dumps({"kind": "club"}))
    left = (
        data / "club.sqlite3.restoring",
        data / "club.sqlite3.restoring.unfinished",
        data / "backups" / "club-20260101T120000Z-by-hand.sqlite3.unfinished",
    )
    for path in left:
        path.touch()
    kept = data / "backups" / "club-20260101T120000Z-by-hand.sqlite3"
    kept.touch()
    with socket.create_server(("127.0.0.1", 0)) as taken:
        done = subprocess.run(
            [
                *(sys.executable, "manage.py", "serve", "--no-input", "--data", str(data)),
                *("--port", str(taken.getsockname()[1])),
            ],
            cwd=ROOT,
            env={**os.environ, "WITHIN_EIGHT_SETUP": "off"},
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    assert done.returncode == 1, done.stdout
    assert "is taken by another program" in done.stderr
    assert done.stdout.count("Cleared away, left by a run that was killed: ") == 3
    assert not any(path.exists() for path in left)
    assert kept.exists()
