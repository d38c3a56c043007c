"""Backups: copies of a SQLite database that can be trusted, and the way back to one.

Standard library alone, so that a copy can be put back when the site itself does
not start. Copying the file is no backup: the last commits are in the ``-wal``
beside it. ``VACUUM INTO`` writes one whole file while the site goes on working.
"""

from __future__ import annotations

import contextlib
import fcntl
import glob
import os
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from clubsite.deploy.checkout import ROOT
from training import retention

MIGRATIONS = ROOT / "training" / "migrations"
KEPT_BEFORE_UPGRADES = retention.COPIES_BEFORE_UPGRADES
BEFORE_UPGRADE, BEFORE_RESTORE, BY_HAND = "before-upgrade", "before-restore", "by-hand"
UNFINISHED, RESTORING = ".unfinished", ".restoring"
# A copy lets nobody in: whoever was signed in when it was made, or holds a code or a token of that
# day, signs in anew. Who failed to sign in when is of no use in it, and older versions kept what
# was typed.
_NOT_COPIED = {
    "training_signedin": "DELETE FROM training_signedin",
    "django_session": "DELETE FROM django_session",
    "training_tokenreach": "DELETE FROM training_tokenreach",
    "knox_authtoken": "DELETE FROM knox_authtoken",
    "training_signincode": "DELETE FROM training_signincode",
    "axes_accessattemptexpiration": "DELETE FROM axes_accessattemptexpiration",
    "axes_accessattempt": "DELETE FROM axes_accessattempt",
    "axes_accessfailurelog": "UPDATE axes_accessfailurelog SET path_info = ''",
    "axes_accesslog": "UPDATE axes_accesslog SET path_info = ''",
}


class BadCopy(Exception):
    """A database file that must not be relied on; the text says which and why."""


def copy_database(
    database: Path, folder: Path, reason: str, *, now: datetime | None = None
) -> Path:
    """Write a checked copy of ``database`` into ``folder`` and return its path.

    Args:
        database: the SQLite file; it may be in use.
        folder: where copies are kept; made, private to this user, when missing.
        reason: becomes part of the name, such as ``before-upgrade``.

    Raises:
        BadCopy: when the copy does not pass SQLite's own integrity check.
        sqlite3.Error: when the database cannot be read.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    clean(folder)
    stamp = (now or datetime.now(UTC)).strftime("%Y%m%dT%H%M%SZ")
    target = _free_name(folder, f"club-{stamp}-{reason}")
    return write_copy(database, target)


def write_copy(database: Path, target: Path) -> Path:
    """Write a checked copy of ``database`` to ``target``, whole or not at all.

    Raises:
        FileExistsError: when ``target`` is there already.
        BadCopy, sqlite3.Error: as ``copy_database``.
    """
    if target.exists():
        raise FileExistsError(f"{target} is there already")
    clean(target.parent, glob.escape(target.name))
    unfinished = target.with_name(target.name + UNFINISHED)
    with _writing_in(target.parent):
        # Refused when another command writes that very copy at this moment.
        os.close(os.open(unfinished, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        try:
            with _connect(database) as source:
                source.execute("VACUUM INTO ?", (str(unfinished),))
            _forget_what_was_typed(unfinished)
            check(unfinished)
            _sync(unfinished)
            unfinished.replace(target)
            _sync(target.parent)
        finally:
            unfinished.unlink(missing_ok=True)
    return target


def clean(folder: Path, name: str = "club-*") -> list[Path]:
    """Delete what killed runs left of copies called ``name``, unless any is being written now.

    Returns what was deleted.
    """
    if not any(folder.glob(f"{name}{UNFINISHED}*")):
        return []
    with _locked(folder, fcntl.LOCK_EX | fcntl.LOCK_NB) as alone:
        left = sorted(folder.glob(f"{name}{UNFINISHED}*")) if alone else []
        for path in left:
            path.unlink(missing_ok=True)
    return left


def clean_restored(database: Path) -> list[Path]:
    """Delete what a killed ``restore`` left beside ``database``; its folder must be claimed."""
    left = sorted(database.parent.glob(f"{database.name}{RESTORING}*"))
    for path in left:
        path.unlink(missing_ok=True)
    return left


@contextlib.contextmanager
def _writing_in(folder: Path) -> Iterator[None]:
    """Let nobody clean ``folder`` meanwhile."""
    with _locked(folder, fcntl.LOCK_SH):
        yield


@contextlib.contextmanager
def _locked(folder: Path, how: int) -> Iterator[bool]:
    """Hold a lock on a folder; False when it cannot be had, as on some file systems.

    Of the folder, because on some systems a lock of the file would meet SQLite's own.
    """
    handle = os.open(folder, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, how)
        except OSError:
            yield False
        else:
            yield True
    finally:
        os.close(handle)


def _forget_what_was_typed(copy: Path) -> None:
    with _connect(copy) as connection:
        # What is deleted is overwritten, so that it is in no free page either.
        connection.execute("PRAGMA secure_delete = ON")
        connection.execute("PRAGMA journal_mode = MEMORY")
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
        for table, statement in _NOT_COPIED.items():
            if table in tables:
                connection.execute(statement)


def check(path: Path) -> None:
    """Pass a sound SQLite database, or raise BadCopy."""
    try:
        with _connect(path) as connection:
            found = connection.execute("PRAGMA integrity_check").fetchone()[0]
    except sqlite3.DatabaseError as error:
        raise BadCopy(f"{path} is not a sound database: {error}.") from None
    if found != "ok":
        raise BadCopy(f"{path} is damaged: {found}.")


def check_club(path: Path, known: Path = MIGRATIONS) -> None:
    """Pass a sound database that holds a club's tables in a shape we know, or raise BadCopy.

    ``known``: the folder of the changes of shape that this version has.
    """
    check(path)
    with _connect(path) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
        if not tables.issuperset(("django_migrations", "training_club")):
            raise BadCopy(f"{path} is no copy of a club's database.")
        applied = connection.execute("SELECT name FROM django_migrations WHERE app = 'training'")
        newer = sorted({name for (name,) in applied} - {one.stem for one in known.glob("0*.py")})
    if newer:
        raise BadCopy(
            f"{path} was made by a newer version of Within Eight (it knows {', '.join(newer)}): "
            "check that version out first, then restore it."
        )


def restore(copy: Path, database: Path, folder: Path) -> Path | None:
    """Put ``copy`` in the place of ``database``; everything must be stopped.

    The database that was there is kept in ``folder``; its path is returned. A
    damaged one is moved there as it is, with what lies beside it.

    Raises:
        BadCopy: when ``copy`` is not sound; nothing has been changed then.
    """
    check(copy)
    fresh = database.with_name(database.name + RESTORING)
    fresh.unlink(missing_ok=True)
    write_copy(copy, fresh)
    kept = _set_aside(database, folder) if database.exists() else None
    for end in ("-wal", "-shm"):
        database.with_name(database.name + end).unlink(missing_ok=True)
    fresh.replace(database)
    _sync(database.parent)
    return kept


def _set_aside(database: Path, folder: Path) -> Path:
    try:
        return copy_database(database, folder, BEFORE_RESTORE)
    except (BadCopy, sqlite3.Error):
        stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
        target = _free_name(folder, f"club-{stamp}-damaged")
        for end in ("-wal", "-shm", ""):
            beside = database.with_name(database.name + end)
            if beside.exists():
                beside.replace(target.with_name(target.name + end))
        return target


def forget_old(folder: Path, keep: int = KEPT_BEFORE_UPGRADES) -> list[Path]:
    """Delete all but the newest ``keep`` copies made before upgrades; others stay for ever."""
    copies = sorted(folder.glob(f"club-*-{BEFORE_UPGRADE}*.sqlite3"))
    old = copies[:-keep] if keep else copies
    for copy in old:
        copy.unlink()
    return old


def prune(folder: Path, *, keep: int = 0, most_bytes: int = 0) -> list[Path]:
    """Delete the oldest copies beyond so many, or beyond so many bytes in all; 0 is no bound.

    Whatever they were made for; the newest always stays, and so do damaged databases that were
    set aside. Returns what was deleted.
    """
    copies = [path for path in folder.glob("club-*.sqlite3") if "-damaged" not in path.name]
    copies.sort(key=lambda path: path.name, reverse=True)
    gone, size = [], 0
    for number, copy in enumerate(copies):
        size += copy.stat().st_size
        over = (keep and number >= keep) or (most_bytes and size > most_bytes)
        if number and over:
            copy.unlink()
            gone.append(copy)
    return gone


def _free_name(folder: Path, stem: str) -> Path:
    target = folder / f"{stem}.sqlite3"
    number = 2
    while target.exists() or target.with_name(target.name + UNFINISHED).exists():
        target = folder / f"{stem}-{number}.sqlite3"
        number += 1
    return target


@contextlib.contextmanager
def _connect(path: Path) -> Iterator[sqlite3.Connection]:
    if not path.is_file():
        raise sqlite3.OperationalError(f"{path} is not there")
    connection = sqlite3.connect(path, timeout=20, isolation_level=None)
    try:
        yield connection
    finally:
        connection.close()


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
