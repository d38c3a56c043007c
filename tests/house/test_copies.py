"""Copies of the database hold the last commit, are whole or absent, and can be put back."""

from __future__ import annotations

import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from clubsite.deploy import backups, restoring
from clubsite.deploy.data_folder import CLUB, DataFolder

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


def rows(path: Path) -> list[int]:
    with closing(sqlite3.connect(path)) as connection:
        return [row[0] for row in connection.execute("SELECT n FROM plan ORDER BY n")]


@pytest.fixture
def busy(tmp_path: Path) -> Iterator[tuple[Path, sqlite3.Connection]]:
    """A database in WAL mode with an open connection, as a running site has it."""
    path = tmp_path / "club.sqlite3"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA wal_autocheckpoint=0")
        connection.execute("CREATE TABLE plan (n INTEGER)")
        connection.execute("INSERT INTO plan VALUES (1)")
        yield path, connection


def test_a_copy_holds_what_only_the_wal_holds(
    busy: tuple[Path, sqlite3.Connection], tmp_path: Path
) -> None:
    path, connection = busy
    connection.execute("INSERT INTO plan VALUES (2)")
    assert path.with_name("club.sqlite3-wal").stat().st_size > 0
    copy = backups.copy_database(path, tmp_path / "backups", backups.BY_HAND, now=NOON)
    assert copy.name == "club-20261125T120000Z-by-hand.sqlite3"
    assert rows(copy) == [1, 2]
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    # Copying the main file alone would have lost it: that is why this is done.
    bare = tmp_path / "bare.sqlite3"
    bare.write_bytes(path.read_bytes())
    with pytest.raises((sqlite3.Error, AssertionError)):
        assert rows(bare) == [1, 2]


def test_two_copies_in_one_second_do_not_meet(
    busy: tuple[Path, sqlite3.Connection], tmp_path: Path
) -> None:
    made = [backups.copy_database(busy[0], tmp_path / "b", "by-hand", now=NOON) for _ in range(3)]
    assert len(set(made)) == 3


def test_a_copy_that_fails_leaves_nothing(tmp_path: Path) -> None:
    broken = tmp_path / "club.sqlite3"
    broken.write_bytes(b"not a database at all" * 100)
    with pytest.raises((sqlite3.Error, backups.BadCopy)):
        backups.copy_database(broken, tmp_path / "backups", backups.BY_HAND)
    assert list((tmp_path / "backups").iterdir()) == []
    with pytest.raises(sqlite3.OperationalError):
        backups.copy_database(tmp_path / "absent.sqlite3", tmp_path / "backups", backups.BY_HAND)
    assert not (tmp_path / "absent.sqlite3").exists()


def test_a_file_that_is_there_is_never_written_over(
    busy: tuple[Path, sqlite3.Connection], tmp_path: Path
) -> None:
    (tmp_path / "mine").write_text("mine")
    with pytest.raises(FileExistsError):
        backups.write_copy(busy[0], tmp_path / "mine")
    assert (tmp_path / "mine").read_text() == "mine"


def test_a_damaged_page_is_noticed(busy: tuple[Path, sqlite3.Connection], tmp_path: Path) -> None:
    path, connection = busy
    connection.executemany("INSERT INTO plan VALUES (?)", [(n,) for n in range(5000)])
    copy = backups.copy_database(path, tmp_path / "b", backups.BY_HAND)
    content = bytearray(copy.read_bytes())
    content[4096 + 8 : 4096 + 600] = bytes(592)
    copy.write_bytes(content)
    with pytest.raises(backups.BadCopy):
        backups.check(copy)


def test_the_way_back_removes_a_stale_wal(
    busy: tuple[Path, sqlite3.Connection], tmp_path: Path
) -> None:
    """A ``-wal`` left by a killed process would be played into the restored file."""
    path, connection = busy
    copy = backups.copy_database(path, tmp_path / "b", backups.BY_HAND)
    connection.execute("INSERT INTO plan VALUES (99)")
    stale = path.with_name("club.sqlite3-wal").read_bytes()
    connection.close()
    path.with_name("club.sqlite3-wal").write_bytes(stale)
    kept = backups.restore(copy, path, tmp_path / "b")
    assert rows(path) == [1]
    assert kept is not None
    assert rows(kept) == [1, 99]


def test_a_bad_copy_is_not_put_back(busy: tuple[Path, sqlite3.Connection], tmp_path: Path) -> None:
    bad = tmp_path / "bad.sqlite3"
    bad.write_bytes(b"nothing of the kind" * 300)
    with pytest.raises(backups.BadCopy):
        backups.restore(bad, busy[0], tmp_path / "b")
    assert rows(busy[0]) == [1]


def test_a_damaged_database_gives_way_and_is_kept(
    busy: tuple[Path, sqlite3.Connection], tmp_path: Path
) -> None:
    path, connection = busy
    copy = backups.copy_database(path, tmp_path / "b", backups.BY_HAND)
    connection.close()
    path.write_bytes(b"what a failing disk left" * 300)
    kept = backups.restore(copy, path, tmp_path / "b")
    assert rows(path) == [1]
    assert kept is not None
    assert kept.read_bytes().startswith(b"what a failing disk left")


def test_only_the_oldest_copies_before_upgrades_are_forgotten(
    busy: tuple[Path, sqlite3.Connection], tmp_path: Path
) -> None:
    folder = tmp_path / "b"
    for day in range(4):
        backups.copy_database(
            busy[0], folder, backups.BEFORE_UPGRADE, now=NOON + timedelta(days=day)
        )
    by_hand = backups.copy_database(busy[0], folder, backups.BY_HAND, now=NOON)
    gone = backups.forget_old(folder, keep=2)
    assert [path.name[5:13] for path in gone] == ["20261125", "20261126"]
    assert by_hand.exists()
    assert len(list(folder.iterdir())) == 3


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> DataFolder:
    """A data folder with something in the place of its database."""
    monkeypatch.delenv("DATABASE_URL", raising=False)
    folder = DataFolder(tmp_path / "data", CLUB)
    folder.claim(patience=0)
    folder.release()
    with sqlite3.connect(folder.database) as connection:
        connection.execute("CREATE TABLE now (a)")
    return folder


def put_back(site: DataFolder, copy: Path) -> int:
    return restoring.main([str(copy), "--data", str(site.path), "--no-input"])


def a_club(path: Path) -> Path:
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE django_migrations (app, name)")
        connection.execute("CREATE TABLE training_club (a)")
    return path


@pytest.mark.parametrize("statement", ["", "CREATE TABLE a (b)"])
def test_what_holds_no_club_is_not_put_back(
    site: DataFolder, statement: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with sqlite3.connect(tmp_path / "other.sqlite3") as other:
        other.execute(statement)
    (tmp_path / "other.sqlite3").touch()
    before = site.database.read_bytes()
    assert put_back(site, tmp_path / "other.sqlite3") == 1
    assert "is no copy of a club's database" in capsys.readouterr().err
    assert site.database.read_bytes() == before


def test_a_copy_goes_where_the_site_reads(
    site: DataFolder,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    copy, elsewhere = a_club(tmp_path / "copy.sqlite3"), tmp_path / "elsewhere.sqlite3"
    before = site.database.read_bytes()
    monkeypatch.setenv("DATABASE_URL", f"sqlite://{elsewhere}")
    assert put_back(site, copy) == 0
    backups.check_club(elsewhere)
    monkeypatch.setenv("DATABASE_URL", "postgresql://somebody@127.0.0.1/club")
    assert put_back(site, copy) == 1
    assert "pg_restore" in capsys.readouterr().err
    assert site.database.read_bytes() == before
    monkeypatch.delenv("DATABASE_URL")
    assert put_back(site, copy) == 0
    backups.check_club(site.database)
