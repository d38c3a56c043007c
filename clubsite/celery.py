"""The work queue.

The database is the truth and the queue only a bell: a plan waits as a row, a
message says "look at row 17". Losing every message loses no plan, because the
sweep rings again for rows that wait too long.
"""

from __future__ import annotations

import os
import sys
from typing import Any

from celery import Celery
from celery.signals import celeryd_init
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from kombu import Queue

# Celery would have every worker and the clock check the whole site as they start, its pages and
# serializers too, which neither needs: a third of a worker's start and half of the clock's memory.
# `prepare` has looked at the database; that the code is right the tests have seen.
os.environ.setdefault("CELERY_SKIP_CHECKS", "1")

app = Celery("within-eight")

try:
    BROKER_URL = settings.REDIS_URL
except ImproperlyConfigured as mistake:
    # Celery's command would show where in our code; whoever runs it wants the sentence.
    sys.stderr.write(f"{mistake}\n")
    raise SystemExit(2) from None

# A web process must never hang on a broker that is dead, frozen or out of
# reach: publishing gives up after about half a second, and the row waits.
PUBLISH_BOUNDS: dict[str, Any] = {
    "socket_timeout": 0.5,
    "socket_connect_timeout": 0.5,
    "max_retries": 0,
    "interval_start": 0,
    "interval_step": 0,
    "interval_max": 0,
}
# A worker waits for messages in pops of one second, so its own time-out must be longer.
WORKER_BOUNDS: dict[str, Any] = {
    "socket_timeout": 5,
    "socket_connect_timeout": 2,
    "socket_keepalive": True,
    "health_check_interval": 25,
    "visibility_timeout": 120,
    "unacked_restore_interval": 5,
    "unacked_restore_throttle": 1,
}

app.conf.update(
    broker_url=BROKER_URL,
    broker_transport_options=PUBLISH_BOUNDS,
    broker_connection_retry_on_startup=True,
    broker_connection_max_retries=None,
    task_publish_retry=False,
    task_ignore_result=True,
    task_acks_late=True,
    task_reject_on_worker_lost=False,
    task_default_queue="clock",
    task_queues=[Queue("plans"), Queue("clock"), Queue("slow")],
    task_routes={
        "solverworker.check_plan": {"queue": "plans"},
        "solverworker.outlooks": {"queue": "slow"},
        "solverworker.recheck": {"queue": "slow"},
        "solverworker.verify": {"queue": "slow"},
        # Whoever is told may be slow; nobody waits for it.
        "training.hooks": {"queue": "slow"},
        "training.*": {"queue": "clock"},
    },
    task_time_limit=120,
    worker_prefetch_multiplier=1,
    worker_hijack_root_logger=False,
    worker_cancel_long_running_tasks_on_connection_loss=False,
    # The worker's command includes solverworker.tasks; the clock has no use for compiled code.
    timezone="UTC",
    enable_utc=True,
    # Nothing depends on a tick having run at its minute: each one catches up on all that is due.
    beat_scheduler="clubsite.ticking:Ticking",
    beat_schedule={
        "tick": {"task": "training.tick", "schedule": 60.0, "options": {"expires": 55}},
        "sweep": {"task": "training.sweep", "schedule": 10.0, "options": {"expires": 9}},
    },
)
# Threads of the web server look the app up by name of nobody: make it the default for all of them.
app.set_default()


@celeryd_init.connect
def widen_bounds(conf: Any = None, **kwargs: Any) -> None:
    """A worker process waits longer than a web process may."""
    conf.broker_transport_options = WORKER_BOUNDS
    let_go_of_a_dead_broker()


def let_go_of_a_dead_broker() -> None:
    """Keep a worker alive that has a message in hand while its broker dies.

    Closing the lost connection, kombu (5.7) would put such messages back where there is no
    connection left; that raises what Celery takes for the worker's end, and the worker needs half
    a minute to die of it; so does a message acknowledged by a channel that is closed by then.
    Nothing has to be put back: the row waits, and the sweep rings again.
    """
    from kombu.transport import redis, virtual

    class InHand(redis.QoS):
        def _is_cut_off(self) -> bool:
            connection = self.channel.connection
            return connection is None or connection.client is None

        def ack(self, delivery_tag: Any) -> None:
            if self._is_cut_off():
                virtual.QoS.ack(self, delivery_tag)  # Forgotten here; there is nobody to tell.
            else:
                super().ack(delivery_tag)

        def restore_unacked(self, client: Any = None) -> None:
            if not self._is_cut_off():
                super().restore_unacked(client)
            elif self._delivered:
                self._delivered.clear()

    redis.Channel.QoS = InHand
