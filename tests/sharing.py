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
from pathlib import Path

import pytest
from filelock import FileLock

FIRST = ("stack", "browser", "access", "house")
"""Folders whose files wait most (for real servers, for Chromium, for other programs), the longest
first, and the longest file of all (who gets in). Begun early they leave short files for the end,
when a worker may run out of company."""

FIRST_OF_ALL = pytest.StashKey[FileLock]()
"""Held by the first worker while the others wait for it."""


def pytest_configure(config: pytest.Config) -> None:
    """Let one worker make what the others then load: compiled kernels, and the tests' bytecode.

    The first keeps the lock until it has collected all tests; the others wait for it.
    """
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        # Begun in the background of a shell. What tests start is to hear a Ctrl-C all the same.
        signal.signal(signal.SIGINT, signal.default_int_handler)
    run = getattr(config, "workerinput", {}).get("testrunuid")
    if run is None:
        return
    made = Path(tempfile.gettempdir()) / f"within-eight-tests-{run}"
    lock = FileLock(made.with_suffix(".lock"))
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


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Put the files that wait most first; the order is otherwise left as it is."""
    if not hasattr(config, "workerinput"):
        return
    root = config.rootpath / "tests"

    def place(item: pytest.Item) -> int:
        folder = item.path.relative_to(root).parts[0]
        return FIRST.index(folder) if folder in FIRST else len(FIRST)

    items.sort(key=place)


def pytest_collection_finish(session: pytest.Session) -> None:
    """What is loaded by now stays to the end: the collector need not look through it again.

    It otherwise takes an eighth of the processor's time of the tests of pages.
    """
    lock = session.config.stash.get(FIRST_OF_ALL, None)
    if lock is not None:
        lock.release()
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)
