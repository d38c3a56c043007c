"""The processes that a club's server consists of: their commands and their environment."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from clubsite.deploy import embedded_broker
from clubsite.deploy.environment import SETTINGS, cache_folder, keep_secret
from clubsite.deploy.processes import ROOT

WORKERS = 2


@dataclass(frozen=True, slots=True)
class Part:
    """One process to be kept running.

    Attributes:
        name: how people call it, and its log's name.
        command: program and arguments.
        rank: parts of a higher rank are stopped first.
        patience: seconds it gets to end by itself.
        keep_open: file descriptors that it inherits.
    """

    name: str
    command: tuple[str, ...]
    rank: int
    patience: float
    keep_open: tuple[int, ...] = ()

    @property
    def title(self) -> str:
        """How it is called in a sentence."""
        return {"web": "web process"}.get(self.name, self.name)


def manage(*words: str) -> list[str]:
    """A management command in this very Python."""
    return [sys.executable, str(ROOT / "manage.py"), *words]


def broker(socket_path: Path) -> Part:
    """The message broker of our own."""
    program = embedded_broker.server_program()
    return Part("broker", tuple(embedded_broker.command(program, socket_path)), 0, 5.0)


def worker() -> Part:
    """The checker: takes plans, the clock's ticks and slow work from the queue."""
    return Part(
        "worker",
        (
            *(sys.executable, "-m", "celery", "-A", "clubsite", "worker"),
            *("-I", "solverworker.tasks"),
            *("-Q", "plans,clock,slow", "--concurrency", str(WORKERS), "-O", "fair"),
            *("--without-mingle", "--without-gossip", "--loglevel", "WARNING"),
        ),
        1,
        10.0,
    )


def clock(data: Path) -> Part:
    """The clock, which rings for the sets to be issued and for plans that wait too long."""
    return Part(
        "clock",
        (
            *(sys.executable, "-m", "celery", "-A", "clubsite", "beat"),
            *("--schedule", str(data / "clock-schedule"), "--pidfile", ""),
            *("--loglevel", "WARNING"),
        ),
        2,
        5.0,
    )


def web(listener: int) -> Part:
    """The web process, on a socket that the supervisor keeps open."""
    return Part(
        "web",
        (
            *(sys.executable, "-m", "gunicorn", "clubsite.wsgi:application"),
            *("--config", "clubsite/deploy/gunicorn_settings.py", "--bind", f"fd://{listener}"),
        ),
        3,
        12.0,
        (listener,),
    )


def environ(
    data: Path,
    *,
    demo: bool,
    broker_url: str,
    hosts: list[str],
    address: str = "",
    outside: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """All variables of every part; what the operator has set stays, except in the demo.

    Args:
        data: the data folder; its secret is made at the first call.
        demo: whether this is the demo club, which never touches an operator's database.
        broker_url: the broker's address.
        hosts: names under which a browser may ask.
        address: the site's own address behind a proxy, or nothing.
        outside: the operator's variables (the process's own unless given).
    """
    outer = dict(os.environ if outside is None else outside)
    if demo:
        for name in ("DATABASE_URL", "SECRET_KEY", "SECURE", "NUM_PROXIES"):
            outer.pop(name, None)
    secure = address.startswith("https://")
    allowed = [name for name in outer.get("ALLOWED_HOSTS", "").split(",") if name] + hosts
    if address:
        allowed.append(_host_of(address))
        outer.setdefault("CSRF_TRUSTED_ORIGINS", address)
        outer.setdefault("NUM_PROXIES", "1")
    if secure:
        outer.setdefault("SECURE", "1")
        # The proxy speaks https with the world; inside, phones of the same network may not.
        outer.setdefault("SECURE_REDIRECT", "1")
    outer.setdefault("SECRET_KEY", keep_secret(data))
    outer.setdefault("LOG_LEVEL", "INFO")
    return {
        **outer,
        "DJANGO_SETTINGS_MODULE": SETTINGS,
        "WITHIN_EIGHT_DATA": str(data),
        "WITHIN_EIGHT_CACHE": str(cache_folder()),
        "REDIS_URL": broker_url,
        "ALLOWED_HOSTS": ",".join(dict.fromkeys(allowed)),
        "DEMO": "1" if demo else "0",
        "PYTHONUNBUFFERED": "1",
        "NUMBA_NUM_THREADS": "1",
    }


def _host_of(address: str) -> str:
    return address.split("://", 1)[1].rsplit("@", 1)[-1].split(":")[0]
