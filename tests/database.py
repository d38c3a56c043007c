"""A database with its tables is made once a run; what needs one of its own gets a copy."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from django.db import connection
from filelock import FileLock

from clubsite.deploy.backups import write_copy
from tests.stack.site import Site, short_folder


@pytest.fixture(scope="session")
def of_this_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of one run share."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(scope="session")
def migrated_file(of_this_run: Path) -> Path:
    """A SQLite database that has its tables, to copy others from; made once a run.

    Beside it stand those of earlier versions (``tests.stack.older``).
    """
    return make_migrated_file(of_this_run)


def make_migrated_file(of_this_run: Path) -> Path:
    """:func:`migrated_file`, before there are fixtures."""
    target = of_this_run / "migrated.sqlite3"
    return made_once(target, [sys.executable, "-m", "tests.stack.older", str(target)])


def made_once(target: Path, command: Sequence[str], source: Path | None = None) -> Path:
    """Make a database, unless another worker of this run has done so.

    Args:
        target: where it is put.
        command: what makes or fills it.
        source: what it begins as, for the demo that is written into it.
    """
    with FileLock(target.with_suffix(".lock")):
        if not target.exists():
            with short_folder() as folder:
                site = Site(folder, database_url="", broker_url="memory://")
                if source is not None:
                    site.environ["DEMO"] = "1"
                    write_copy(source, folder / "club.sqlite3")
                site.run(list(command))
                site.close()
                write_copy(folder / "club.sqlite3", target)
    return target


@pytest.fixture(scope="session")
def django_db_keepdb(
    request: pytest.FixtureRequest, django_db_modify_db_settings: None
) -> Iterator[bool]:
    """Whether the database of the tests is there before they begin.

    Of several workers each finds a copy: to make the tables takes longer than many a file.
    """
    if not hasattr(request.config, "workerinput") or connection.vendor != "sqlite":
        yield bool(request.config.getoption("reuse_db"))
        return
    own = Path(str(connection.settings_dict["TEST"]["NAME"]))
    own.unlink(missing_ok=True)
    write_copy(request.getfixturevalue("migrated_file"), own)
    yield True
    connection.close()
    for end in ("", "-wal", "-shm"):
        own.with_name(own.name + end).unlink(missing_ok=True)
