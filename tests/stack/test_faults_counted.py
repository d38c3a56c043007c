"""Faults of several processes are one count, and the queue is measured where it is.

Common practice, no source.
"""

from __future__ import annotations

import os
import subprocess
import sys

from tests.stack.servers import Valkey

PROCESS = """
import django; django.setup()
from celery import current_app
from celery.signals import task_failure
from django.core.signals import got_request_exception
from clubsite import faults, surroundings
got_request_exception.send(sender=None, request=None)
task_failure.send(sender=None)
current_app.send_task("solverworker.check_plan", args=[1])
print(faults.counted(), surroundings.queue_lengths())
"""


def run(broker_url: str, token: str = "x" * 40) -> str:
    environ = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "clubsite.settings.test",
        "REDIS_URL": broker_url,
        "METRICS_TOKEN": token,
    }
    done = subprocess.run(
        [sys.executable, "-c", PROCESS], env=environ, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def test_two_processes_count_together(broker: Valkey) -> None:
    first, second = run(broker.url), run(broker.url)
    assert first == "{'web': 1, 'task': 1} {'plans': 1, 'clock': 0, 'slow': 0}"
    assert second == "{'web': 2, 'task': 2} {'plans': 2, 'clock': 0, 'slow': 0}"


def test_nothing_is_counted_where_nobody_reads_it(broker: Valkey) -> None:
    assert run(broker.url, token="").startswith("{'web': 0, 'task': 0}")
