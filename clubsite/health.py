"""What a watcher asks: does the database answer, do plans get checked?"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import DatabaseError, connection
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.utils.translation import gettext as _

from training.selectors.health import Pulse, pulse

LATE_SECONDS = 120
"""A plan that waits longer than this, or a clock that is silent for longer, is trouble."""


def health(request: HttpRequest) -> JsonResponse:
    """200 with a few figures, or 503 when people's work would not get done.

    Says nothing of any club: ages in seconds and versions only.
    """
    now = timezone.now()
    try:
        found = pulse(now)
    except DatabaseError:
        return JsonResponse({"status": "down", "database": _("does not answer")}, status=503)
    figures = _figures(found, now)
    late = [
        name
        for name in ("oldest_waiting_seconds", "worker_seconds", "sweep_seconds")
        if figures[name] is not None and figures[name] > LATE_SECONDS
    ]
    figures["status"] = "late" if late else "ok"
    figures["late"] = late
    return JsonResponse(figures, status=503 if late else 200)


def _figures(found: Pulse, now: datetime) -> dict[str, Any]:
    def age(instant: datetime | None) -> float | None:
        return None if instant is None else round((now - instant).total_seconds(), 1)

    return {
        "database": connection.vendor,
        "database_version": found.database_version,
        "oldest_waiting_seconds": age(found.oldest_waiting),
        "worker_seconds": age(found.beats.get("worker")),
        "sweep_seconds": age(found.beats.get("sweep")),
    }
