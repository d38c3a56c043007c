"""How the suite is shared out among worker processes (``pytest-xdist``).

``manage.py test`` starts the workers. Each has a database file of its own
(``clubsite.settings.test`` names it by process). A file of tests stays in one worker, so that
what it makes once is made once; compiled code and tables are one folder for all.
"""

from __future__ import annotations

import gc
import importlib
import signal
import tempfile
from collections.abc import Iterable
from itertools import zip_longest
from pathlib import Path

import pytest
from filelock import FileLock, Timeout

WAITING = "stack"
"""The folder whose files wait most: for real servers, for programs that start and end."""

WORKING = ("browser", "access", "house")
"""Folders whose files keep a core busy for long, and begin early so that short ones come last,
when a worker may run out of company."""

LONGEST = ("access/test_who_gets_in.py", "browser/test_every_page.py")
"""The first of all."""

FIRST_OF_ALL = pytest.StashKey[FileLock]()
"""Held by the first worker while the others wait for it."""


def pytest_configure(config: pytest.Config) -> None:
    """Let one worker make what the others then load: compiled kernels, and the tests' bytecode.

    The first keeps the lock until it has collected all tests; the others wait for it, and one of
    them makes the tables of a database meanwhile.
    """
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        # Begun in the background of a shell. What tests start is to hear a Ctrl-C all the same.
        signal.signal(signal.SIGINT, signal.default_int_handler)
    run = getattr(config, "workerinput", {}).get("testrunuid")
    if run is None:
        return
    made = Path(tempfile.gettempdir()) / f"within-eight-tests-{run}"
    lock = FileLock(made.with_suffix(".lock"))
    try:
        lock.acquire(blocking=False)
    except Timeout:
        make_tables(config)
        lock.acquire()
    if made.exists():
        lock.release()
    else:
        config.add_cleanup(made.unlink)
        config.stash[FIRST_OF_ALL] = lock
        made.touch()
    for name in ("review", "techniques.drawing"):  # importing compiles
        importlib.import_module(f"solverworker.{name}")
    from solverworker.worker_start import warm_up

    warm_up()


def make_tables(config: pytest.Config) -> None:
    """Make what ``migrated_file`` is asked for, beside the compiling, which takes one core."""
    from django.db import connection

    from tests.database import make_migrated_file

    if connection.vendor == "sqlite":
        make_migrated_file(Path(config.option.basetemp).resolve().parent)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Put long files first, by turns one that waits and one that works; so the cores are busy."""
    if not hasattr(config, "workerinput"):
        return
    root = config.rootpath / "tests"
    files = dict.fromkeys(item.path.relative_to(root) for item in items)
    places = {file: place for place, file in enumerate(by_turns(files))}
    items.sort(key=lambda item: places[item.path.relative_to(root)])


def by_turns(files: Iterable[Path]) -> list[Path]:
    """Order the suite's files, named from ``tests``, as they are to be begun.

    Example:
        >>> [one.name for one in by_turns(map(Path, ["web/w", "stack/s", "stack/t", "house/h"]))]
        ['s', 'h', 't', 'w']
    """
    longest: list[Path] = []
    waiting: list[Path] = []
    working: list[Path] = []
    short: list[Path] = []
    for file in files:
        folder = file.parts[0]
        if file.as_posix() in LONGEST:
            longest.append(file)
        elif folder == WAITING:
            waiting.append(file)
        else:
            (working if folder in WORKING else short).append(file)
    working.sort(key=lambda file: WORKING.index(file.parts[0]))
    pairs = zip_longest(waiting, working)
    return [*longest, *(file for pair in pairs for file in pair if file), *short]


def pytest_collection_finish(session: pytest.Session) -> None:
    """What is loaded by now stays to the end: the collector need not look through it again."""
    lock = session.config.stash.get(FIRST_OF_ALL, None)
    if lock is not None:
        lock.release()
    gc.collect()
    gc.freeze()
