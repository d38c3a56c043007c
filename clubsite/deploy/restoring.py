"""``restore``: put a copy of the database back. Standard library alone.

It must work when the site does not: after an upgrade gone wrong, say.
"""

from __future__ import annotations

import argparse
import os
import sqlite3
import sys
from pathlib import Path
from urllib.parse import unquote, urlsplit

from clubsite.deploy import backups
from clubsite.deploy.data_folder import CLUB, DataFolder, InUse, data_path


def parser() -> argparse.ArgumentParser:
    """The command line of ``restore``."""
    made = argparse.ArgumentParser(prog="manage.py restore", description=DESCRIPTION)
    add_to(made)
    return made


DESCRIPTION = "Put a copy of the database back. The database that is there now is kept."


def add_to(made: argparse.ArgumentParser) -> None:
    """Add the options to a parser, ours or a management command's."""
    made.add_argument("copy", nargs="?", help="the copy; without it, the copies are listed")
    made.add_argument("--data", metavar="FOLDER", help="the club's data folder")
    made.add_argument("--no-input", action="store_true", help="never ask anything")


def main(arguments: list[str]) -> int:
    """List the copies, or put one back; returns the exit status."""
    options = parser().parse_args(arguments)
    argv = ["--data", options.data] if options.data else []
    folder = DataFolder(data_path(argv), CLUB)
    if options.copy is None:
        return _list(folder)
    copy = Path(options.copy).expanduser().absolute()
    database = _database_of_site(folder)
    if database is None:
        print("This club's database is PostgreSQL: put it back with pg_restore.", file=sys.stderr)
        return 1
    try:
        folder.claim(patience=0)
    except InUse as refusal:
        print(refusal, file=sys.stderr)
        return 1
    try:
        if not options.no_input and sys.stdin.isatty():
            answer = input(f"Put back {copy.name}? The database of now is kept beside. [y/N] ")
            if answer.strip().lower() not in {"y", "yes"}:
                print("Nothing was changed.")
                return 0
        backups.check_club(copy)
        kept = backups.restore(copy, database, folder.backups)
    except (backups.BadCopy, sqlite3.Error, OSError) as error:
        print(f"Nothing was changed. {error}", file=sys.stderr)
        return 1
    finally:
        folder.release()
    print(f"Put back: {copy}")
    if kept is not None:
        print(f"What was there before is kept:\n  {kept}")
    print("Start again with:  python3 manage.py serve")
    return 0


def _database_of_site(folder: DataFolder) -> Path | None:
    """The file that the site reads, as its settings find it; None when it is on a server."""
    url = urlsplit(os.environ.get("DATABASE_URL", "").strip())
    if not url.scheme:
        return folder.database
    return Path(unquote(url.path)) if url.scheme == "sqlite" else None


def _list(folder: DataFolder) -> int:
    copies = sorted(folder.backups.glob("*.sqlite3"), reverse=True)
    if not copies:
        print(f"There are no copies in {folder.backups}. A copy is made before each upgrade,")
        print("and by:  python3 manage.py backup")
        return 1
    print("The copies, the newest first:")
    for copy in copies:
        print(f"  {copy}   {copy.stat().st_size / 1_000_000:.1f} MB")
    print("Put one back with:  python3 manage.py restore COPY")
    return 0
