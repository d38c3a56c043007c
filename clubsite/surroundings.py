"""What the site stands on: room on the disk, the clock, the work queue, copies, programs."""

from __future__ import annotations

import platform
from contextlib import suppress
from datetime import UTC, datetime
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from celery import current_app
from django.conf import settings
from django.db import connection

from clubsite import health
from clubsite.celery import PUBLISH_BOUNDS
from clubsite.deploy import checkout
from solverworker.report import SOLVER_VERSION
from training.selectors.health import Surroundings

QUEUES = ("plans", "clock", "slow")
_PACKAGES = ("Django", "celery", "waitress")


def look() -> Surroundings:
    """Look at everything once; what does not answer within half a second is said not to."""
    lengths = queue_lengths()
    return Surroundings(
        free_bytes=health.free_bytes(),
        clock_stepped=health.CLOCK.stepped(),
        queued=None if lengths is None else sum(lengths.values()),
        last_copy=_last_copy(),
        copies_here=connection.vendor == "sqlite",
        programs=_programs(),
    )


def queue_lengths() -> dict[str, int] | None:
    """Messages that wait in each queue of the broker; None when it does not answer."""
    try:
        with current_app.connection_for_read(transport_options=PUBLISH_BOUNDS) as broker:
            channel: Any = broker.channel()
            return {name: int(channel._size(name)) for name in QUEUES}
    # What a broker raises depends on its kind, and none of it may end a page.
    except Exception:
        return None


def _last_copy() -> datetime | None:
    """When the newest copy in the data folder was made."""
    made = None
    for copy in (Path(settings.DATA) / "backups").glob("club-*.sqlite3"):
        # One may go while this looks.
        with suppress(FileNotFoundError):
            at = datetime.fromtimestamp(copy.stat().st_mtime, UTC)
            made = at if made is None else max(made, at)
    return made


@lru_cache
def _programs() -> tuple[tuple[str, str], ...]:
    ours = checkout.commit() or f"rules {SOLVER_VERSION}"
    return (
        ("Within Eight", ours[:12]),
        ("Python", platform.python_version()),
        *((name.capitalize(), version(name)) for name in _PACKAGES),
    )
