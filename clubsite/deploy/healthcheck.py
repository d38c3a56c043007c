"""Whether a running site's database, worker or clock works; the ``healthcheck`` of containers.

    python -m clubsite.deploy.healthcheck web:8008 database

Ends with status 0 if it does and 1 if not: ``database`` (pages can be shown), ``worker``
(plans get checked) or ``clock`` (somebody rings for them).
"""

from __future__ import annotations

import sys
from typing import Any

from clubsite.deploy.wall_clock import SLACK_SECONDS
from clubsite.deploy.watcher import STALE_SECONDS, Health

AGES = {"worker": "worker_seconds", "clock": "sweep_seconds"}
CHECKED = ("database", *AGES)
ANSWERING = {"ok", "note", "late", "full"}
"""What ``/health/`` says its status is while the database answers."""


def works(what: str, health: dict[str, Any] | None) -> bool:
    """Whether ``what`` works, as ``/health/`` tells.

    >>> works("worker", {"status": "ok", "worker_seconds": 31.0})
    True
    >>> works("worker", {"status": "ok", "worker_seconds": None})
    False
    """
    if health is None or health.get("status") not in ANSWERING:
        return False
    if what == "database":
        return True
    age = health.get(AGES[what])
    return isinstance(age, int | float) and -SLACK_SECONDS <= age <= STALE_SECONDS


def main(arguments: list[str]) -> int:
    """Ask once; returns the exit status."""
    address, what = arguments
    host, _, port = address.rpartition(":")
    if what not in CHECKED:
        print(f"{what!r} is none of: {', '.join(CHECKED)}.", file=sys.stderr)
        return 2
    health = Health(host, int(port)).ask()
    print(health)
    return 0 if works(what, health) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
