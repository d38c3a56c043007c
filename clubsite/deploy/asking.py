"""Asks a running site whether one of its parts works; for health checks of containers.

    python -m clubsite.deploy.asking web:8008 database

Ends with status 0 if it does and 1 if not. The parts are ``database`` (pages can be
shown), ``worker`` (plans get checked) and ``clock`` (somebody rings for them).
"""

from __future__ import annotations

import sys
from typing import Any

from clubsite.deploy.watcher import STALE_SECONDS, Health

AGES = {"worker": "worker_seconds", "clock": "sweep_seconds"}


def works(part: str, health: dict[str, Any] | None) -> bool:
    """Whether ``part`` works, as ``/health/`` tells.

    >>> works("worker", {"status": "ok", "worker_seconds": 31.0})
    True
    >>> works("worker", {"status": "ok", "worker_seconds": None})
    False
    """
    if health is None or health.get("status") not in {"ok", "late"}:
        return False
    if part == "database":
        return True
    age = health.get(AGES[part])
    return isinstance(age, int | float) and age <= STALE_SECONDS


def main(arguments: list[str]) -> int:
    """Ask once; returns the exit status."""
    address, part = arguments
    host, _, port = address.rpartition(":")
    if part not in {"database", *AGES}:
        print(f"There is no part {part!r}.", file=sys.stderr)
        return 2
    health = Health(host, int(port)).ask()
    print(health)
    return 0 if works(part, health) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
