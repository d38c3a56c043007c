"""What a worker process does once, before it takes work.

The compiled code and the tables are loaded in the parent, so that its children
share them: memory is counted once.
"""

from __future__ import annotations

import logging
import time
from typing import Any

from celery.signals import worker_init, worker_ready

log = logging.getLogger(__name__)


def warm_up() -> float:
    """Load compiled code and tables. Returns the seconds it took."""
    from solverworker import search

    began = time.perf_counter()
    search.warm_up()
    return time.perf_counter() - began


@worker_init.connect
def _before_work(**kwargs: Any) -> None:
    log.info("The solver is ready after %.2f s.", warm_up())


@worker_ready.connect
def _catch_up(**kwargs: Any) -> None:
    """Ring at once for what waited while no worker ran, without waiting for the next tick."""
    from django.db import close_old_connections

    from solverworker.tasks import sweep, tick

    for task in (tick, sweep):
        try:
            task.run()
        except Exception:
            log.exception("Catching up failed; the next tick tries again.")
    close_old_connections()
