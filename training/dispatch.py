"""Hands work to the queue, by task name, after the commit. The only way to the workers.

A bell that does not ring is no failure: the plan's row waits, and the sweep
rings again. So nothing here raises, and nothing here takes longer than the
bounds on publishing in the project's queue settings.
"""

from __future__ import annotations

import functools
import logging
import queue
import threading
import time
from collections.abc import Callable

from celery import current_app
from django.db import transaction

log = logging.getLogger(__name__)

CHECK_PLAN = "solverworker.check_plan"
OUTLOOKS = "solverworker.outlooks"
RECHECK = "solverworker.recheck"
HOOKS = "training.hooks"
VERIFY = "solverworker.verify"
TICK = "training.tick"
QUIET_SECONDS = 10.0
"""After a failure the bell is left alone this long: a dead broker slows one request only."""

GATHER_SECONDS = 0.01
"""How long plans are gathered after a message."""

MOST_IN_A_MESSAGE = 16
"""Few enough that the workers share a crowd of plans among them."""

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


def ring(*plan_ids: int) -> bool:
    """Tell the workers that plans wait, in one message. Returns whether it was sent."""
    which = ", ".join(map(str, plan_ids))
    return _send(CHECK_PLAN, list(plan_ids), f"plan {which} waits for the sweep")


class _Gathering:
    """Rings from a thread of its own, once for all plans of a moment.

    A message costs the web process about as much as the row: at a deadline, when many plans come
    at once, few messages tell of all of them. The first plan after a pause is told of at once.
    Plans that are not told of when the process ends wait for the sweep, as after every silence.
    """

    def __init__(self) -> None:
        self._plans: queue.SimpleQueue[int] = queue.SimpleQueue()
        threading.Thread(target=self._ring_on, name="bell", daemon=True).start()

    def add(self, plan_id: int) -> None:
        self._plans.put(plan_id)

    def _ring_on(self) -> None:
        while True:
            together = [self._plans.get()]
            while len(together) < MOST_IN_A_MESSAGE and not self._plans.empty():
                together.append(self._plans.get())
            ring(*together)
            time.sleep(GATHER_SECONDS)


_gathering: _Gathering | None = None


def gather() -> None:
    """From now on ring for several plans at once. For the web process, which lives on."""
    global _gathering
    _gathering = _gathering or _Gathering()


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

    if _gathering is not None:
        transaction.on_commit(functools.partial(_gathering.add, plan_id))
        return

    # A nested function, because Django 5.2 cannot name a partial when it fails (ticket 36487).
    def after_commit() -> None:
        ring(plan_id)

    transaction.on_commit(after_commit, robust=True)


def ask_for_drawing_after_commit() -> None:
    """Have the workers draw what sets still want, once the transaction has been committed."""

    def after_commit() -> None:
        _send(TICK, [], "sets are drawn at the next tick")

    transaction.on_commit(after_commit, robust=True)


def ask_for_outlooks_after_commit(*plan_ids: int) -> None:
    """Have the workers say what plans leave, once the transaction has been committed."""

    def after_commit() -> None:
        _send(OUTLOOKS, list(plan_ids), "what the plans leave is said at the next sweep")

    transaction.on_commit(after_commit, robust=True)


def ask_for_outlooks() -> bool:
    """Have the workers say what the next plans leave. Whether the message was sent."""
    return _send(OUTLOOKS, [], "what plans leave is said at the next sweep")


def ask_for_recheck() -> bool:
    """Have the workers check the next old plans by newer rules. Whether the message was sent."""
    return _send(RECHECK, [], "checking anew goes on when it is asked for again")


def ask_for_verifying() -> bool:
    """Have the workers recompute the next plans and sets. Whether the message was sent."""
    return _send(VERIFY, [], "recomputing goes on when it is asked for again")


def ask_for_hooks() -> bool:
    """Have the workers send what web hooks wait for. Whether the message was sent."""
    return _send(HOOKS, [], "web hooks are told at the next tick")
