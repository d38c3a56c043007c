"""What a watcher asks: does the database answer, do plans get checked, is there room?"""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import DatabaseError, connection
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.utils.translation import gettext as _

from clubsite.deploy.wall_clock import SLACK_SECONDS, WallClock
from training.selectors.health import FULL_BYTES, LATE_SECONDS, LOW_BYTES, Pulse, pulse

CLOCK = WallClock()
"""Since this process started."""


def health(request: HttpRequest) -> JsonResponse:
    """200 with a few figures, or 503 when people's work would not get done.

    Says nothing of any club and of no program's version: it answers strangers too.
    """
    now = timezone.now()
    try:
        found = pulse(now)
    except DatabaseError:
        return JsonResponse({"status": "down", "database": _("does not answer")}, status=503)
    figures = _figures(found, now)
    status = _status(figures)
    bad = status in {"late", "full"}
    return JsonResponse({"status": status, **figures}, status=503 if bad else 200)


def _figures(found: Pulse, now: datetime) -> dict[str, Any]:
    def age(instant: datetime | None) -> float | None:
        return None if instant is None else round((now - instant).total_seconds(), 1)

    waiting = age(found.oldest_waiting)
    beats = {
        "worker_seconds": age(found.beats.get("worker")),
        "sweep_seconds": age(found.beats.get("sweep")),
    }
    late = [name for name, seconds in beats.items() if not _lives(seconds)]
    if waiting is not None and waiting > LATE_SECONDS:
        late = ["oldest_waiting_seconds", *late]
    return {
        "oldest_waiting_seconds": waiting,
        **beats,
        "late": late,
        "disk": _room(free_bytes()),
        "clock_stepped_seconds": round(CLOCK.stepped(), 1),
    }


def _lives(seconds: float | None) -> bool:
    """Whether a heartbeat is a sign of life: there is one, it is young, and not from the future."""
    return seconds is not None and -SLACK_SECONDS <= seconds <= LATE_SECONDS


def _room(free: int) -> str:
    if free < FULL_BYTES:
        return "full"
    return "low" if free < LOW_BYTES else "ok"


def _status(figures: dict[str, Any]) -> str:
    if figures["late"]:
        return "late"
    if figures["disk"] == "full":
        return "full"
    return "note" if figures["disk"] == "low" or figures["clock_stepped_seconds"] else "ok"


def free_bytes() -> int:
    """Room left where the data folder is, or the database's file if that has less."""
    places = [Path(settings.DATA)]
    if connection.vendor == "sqlite":
        places.append(Path(str(connection.settings_dict["NAME"])).absolute().parent)
    return min(_free(place) for place in places)


def _free(place: Path) -> int:
    while not place.exists():
        place = place.parent
    return shutil.disk_usage(place).free
