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
RECHECK = "solverworker.recheck"
VERIFY = "solverworker.verify"
TICK = "training.tick"
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
    return _send(CHECK_PLAN, [plan_id], f"plan {plan_id} waits for the sweep")


def _send(name: str, args: list[int], meanwhile: str) -> bool:
    if bell.is_quiet():
        return False
    try:
        current_app.send_task(name, args=args, expires=EXPIRES_SECONDS, retry=False)
    except Exception:
        bell.hush()
        log.warning("The work queue cannot be reached; %s.", meanwhile)
        return False
    return True


def ring_after_commit(plan_id: int) -> None:
    """Ring once the surrounding transaction has been committed."""

    # A nested function, because Django 5.2 cannot name a partial when it fails (ticket 36487).
    def after_commit() -> None:
        ring(plan_id)

    transaction.on_commit(after_commit, robust=True)


def ask_for_drawing_after_commit() -> None:
    """Have the workers draw what sets still want, once the transaction has been committed."""

    def after_commit() -> None:
        _send(TICK, [], "sets are drawn at the next tick")

    transaction.on_commit(after_commit, robust=True)


def ask_for_recheck() -> bool:
    """Have the workers check the next old plans by newer rules. Whether the message was sent."""
    return _send(RECHECK, [], "checking anew goes on when it is asked for again")


def ask_for_verifying() -> bool:
    """Have the workers recompute the next plans and sets. Whether the message was sent."""
    return _send(VERIFY, [], "recomputing goes on when it is asked for again")
