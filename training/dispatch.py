"""Hands work to the queue, by task name, after the commit. The only way to the workers.

A bell that does not ring is no failure: the plan's row waits, and the sweep
rings again. So nothing here raises, and nothing here takes longer than the
bounds on publishing in the project's queue settings.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable

from celery import current_app
from django.db import transaction

log = logging.getLogger(__name__)

CHECK_PLAN = "solverworker.check_plan"
QUIET_SECONDS = 10.0
"""After a failure the bell is left alone this long: a dead broker slows one request only."""

EXPIRES_SECONDS = 60
"""Old messages fall out of the queue: the row, not the message, is what waits."""


class _Bell:
    """Remembers, for this process, until when the broker is left alone."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._quiet_until = 0.0

    def is_quiet(self) -> bool:
        with self._lock:
            return self._clock() < self._quiet_until

    def hush(self) -> None:
        with self._lock:
            self._quiet_until = self._clock() + QUIET_SECONDS

    def reset(self) -> None:
        with self._lock:
            self._quiet_until = 0.0


bell = _Bell()


def ring(plan_id: int) -> bool:
    """Tell the workers that a plan waits. Returns whether the message was sent."""
    if bell.is_quiet():
        return False
    try:
        current_app.send_task(CHECK_PLAN, args=[plan_id], expires=EXPIRES_SECONDS, retry=False)
    except Exception:
        bell.hush()
        log.warning("The work queue cannot be reached; plan %s waits for the sweep.", plan_id)
        return False
    return True


def ring_after_commit(plan_id: int) -> None:
    """Ring once the surrounding transaction has been committed."""

    # A nested function, because Django 5.2 cannot name a partial when it fails (ticket 36487).
    def after_commit() -> None:
        ring(plan_id)

    transaction.on_commit(after_commit, robust=True)
