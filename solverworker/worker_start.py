"""What a worker process does once, before it takes work.

The compiled code and the tables are loaded in the parent, so that its children
share them: memory is counted once.
"""

from __future__ import annotations

import contextlib
import logging
import time
from typing import Any

from celery.signals import worker_init, worker_ready

log = logging.getLogger(__name__)


def warm_up() -> float:
    """Load compiled code and tables. Returns the seconds it took."""
    from solverworker import search
    from solverworker.techniques.atlas_maker import atlas

    began = time.perf_counter()
    search.warm_up()
    atlas()
    return time.perf_counter() - began


def note_readiness() -> None:
    """Once all is made and kept, note it for whoever starts workers; without a place do nothing."""
    from solverworker import atlas, readiness, tablefile
    from solverworker.folders import cache_home
    from solverworker.search import compiling, pair, phase_tables

    if compiling.FOLDER is None:
        return
    with contextlib.suppress(OSError):
        readiness.note(
            cache_home(),
            [
                *compiling.FOLDER.rglob("*.nb[ci]"),
                *(
                    tablefile.path_of(each.NAME, each.version())
                    for each in (atlas, pair, phase_tables)
                ),
            ],
        )


@worker_init.connect
def _before_work(**kwargs: Any) -> None:
    log.info("The solver is ready after %.2f s.", warm_up())


@worker_ready.connect
def _catch_up(sender: Any, **kwargs: Any) -> None:
    """Do at once what came due while no worker ran, without waiting for the next tick."""
    for name in ("training.tick", "training.sweep"):
        sender.app.send_task(name)
