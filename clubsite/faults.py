"""Counts what ends in a fault of the site, for all processes together, where they all can: in
the broker.

Counted only where somebody reads it (``METRICS_TOKEN``), and never at the cost of an answer: a
broker that does not take it within half a second is left alone.
"""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from celery import current_app
from celery.signals import task_failure
from django.conf import settings
from django.core.signals import got_request_exception

from clubsite.celery import PUBLISH_BOUNDS

WEB, TASK = "web", "task"
KEY = "within-eight.errors"


def note(where: str) -> None:
    """One more fault, of a request (``WEB``) or of a task (``TASK``)."""
    if not settings.METRICS_TOKEN:
        return
    # Whatever a broker raises: a count is not worth a second fault.
    with suppress(Exception), _broker() as broker:
        broker.channel().client.hincrby(KEY, where, 1)


def counted() -> dict[str, int] | None:
    """Faults by where they were; None when the broker does not answer."""
    try:
        with _broker() as broker:
            found = broker.channel().client.hgetall(KEY)
    except Exception:
        return None
    read = {_text(where): int(count) for where, count in found.items()}
    return {where: read.get(where, 0) for where in (WEB, TASK)}


def listen() -> None:
    """Count from now on; called once when the process starts."""
    got_request_exception.connect(_of_request, dispatch_uid="within-eight.faults")
    task_failure.connect(_of_task, dispatch_uid="within-eight.faults")


def _of_request(**about: Any) -> None:
    note(WEB)


def _of_task(**about: Any) -> None:
    note(TASK)


def _broker() -> Any:
    return current_app.connection_for_write(transport_options=PUBLISH_BOUNDS)


def _text(name: bytes | str) -> str:
    return name.decode() if isinstance(name, bytes) else name
