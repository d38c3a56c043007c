"""An upgrade copies the database first, says how to go back, and the way back works."""

from __future__ import annotations

import re
import shlex
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from clubsite.deploy.backups import write_copy
from tests.stack.older import BEFORE, file_at
from tests.stack.serving import Serving, manage


@pytest.fixture
def older(folder: Path, migrated_file: Path) -> Path:
    """A data folder whose database has the shape of an earlier version, and one person in it."""
    data = folder / "club"
    data.mkdir()
    write_copy(file_at(BEFORE, migrated_file), data / "club.sqlite3")
    with closing(sqlite3.connect(data / "club.sqlite3", isolation_level=None)) as database:
        database.execute(
            "INSERT INTO training_person "
            "(sign_in_name, password, is_active, must_choose_phrase, language, created_at) "
            "VALUES ('ines', '!', 1, 0, '', '2026-01-01 00:00:00')"
        )
    return data


def people(database: Path) -> list[str]:
    with closing(sqlite3.connect(database)) as connection:
        return [row[0] for row in connection.execute("SELECT sign_in_name FROM training_person")]


def applied(database: Path) -> set[str]:
    with closing(sqlite3.connect(database)) as connection:
        rows = connection.execute("SELECT name FROM django_migrations WHERE app = 'training'")
        return {row[0] for row in rows}


def test_there_and_back(older: Path) -> None:
    before = applied(older / "club.sqlite3")
    one = Serving(older)
    try:
        one.wait_until_open()
        assert applied(older / "club.sqlite3") > before
        # The copy is named, is sound, and has the shape and the people of before.
        copies = list((older / "backups").iterdir())
        assert len(copies) == 1
        assert str(copies[0]) in one.text
        assert applied(copies[0]) == before
        assert people(copies[0]) == ["ines"]
        way_back = re.search(r"python3 manage\.py (restore .*)", one.text)
        assert way_back is not None, one.text
        # While it is served nothing is put back.
        refused = manage(*shlex.split(way_back[1]), "--no-input")
        assert refused.returncode == 1
        assert "is being served already" in refused.stderr
    finally:
        one.close()

    with closing(sqlite3.connect(older / "club.sqlite3", isolation_level=None)) as database:
        database.execute("UPDATE training_person SET sign_in_name = 'changed'")
    done = manage(*shlex.split(way_back[1]), "--no-input")
    assert done.returncode == 0, done.stderr
    assert people(older / "club.sqlite3") == ["ines"]
    assert applied(older / "club.sqlite3") == before
    # What was there just before is kept, too.
    kept = [path for path in (older / "backups").iterdir() if "before-restore" in path.name]
    assert len(kept) == 1
    assert people(kept[0]) == ["changed"]


def test_a_database_of_a_newer_version_is_not_touched(older: Path) -> None:
    with closing(sqlite3.connect(older / "club.sqlite3", isolation_level=None)) as database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied) "
            "VALUES ('training', '9999_of_later', '2030-01-01 00:00:00')"
        )
    before = applied(older / "club.sqlite3")
    refused = manage("serve", "--data", str(older), "--port", "0")
    assert refused.returncode == 1
    assert "made by a newer version" in refused.stderr
    assert "training.9999_of_later" in refused.stderr
    assert applied(older / "club.sqlite3") == before
    assert not (older / "backups").exists()


def test_a_copy_of_a_newer_version_is_not_put_back(folder: Path, migrated_file: Path) -> None:
    data = folder / "club"
    data.mkdir()
    write_copy(migrated_file, data / "club.sqlite3")
    copy = write_copy(migrated_file, folder / "later.sqlite3")
    with closing(sqlite3.connect(copy, isolation_level=None)) as database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied) "
            "VALUES ('training', '0999_of_later', '2030-01-01 00:00:00')"
        )
    before = (data / "club.sqlite3").read_bytes()
    refused = manage("restore", str(copy), "--data", str(data), "--no-input")
    assert refused.returncode == 1
    assert "Nothing was changed." in refused.stderr
    assert "made by a newer version of Within Eight (it knows 0999_of_later)" in refused.stderr
    assert (data / "club.sqlite3").read_bytes() == before


def test_a_start_without_changes_copies_nothing(folder: Path, migrated_file: Path) -> None:
    data = folder / "club"
    data.mkdir()
    write_copy(migrated_file, data / "club.sqlite3")
    done = manage("prepare", "--data", str(data))
    assert done.returncode == 0, done.stderr
    assert not (data / "backups").exists()


def test_copies_by_hand_are_listed_and_put_back(folder: Path, migrated_file: Path) -> None:
    data = folder / "club"
    data.mkdir()
    write_copy(migrated_file, data / "club.sqlite3")
    assert manage("restore", "--data", str(data)).returncode == 1
    made = manage("backup", "--data", str(data))
    assert made.returncode == 0, made.stderr
    listed = manage("restore", "--data", str(data))
    assert listed.returncode == 0
    copy = next((data / "backups").iterdir())
    assert str(copy) in listed.stdout
    assert manage("restore", str(copy), "--data", str(data), "--no-input").returncode == 0
