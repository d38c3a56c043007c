"""The four programs of a club's server: broker, worker, clock and web, and their commands."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from clubsite.deploy import embedded_broker
from clubsite.deploy.checkout import ROOT

WORKERS = 2


@dataclass(frozen=True, slots=True)
class Program:
    """What is to be kept running.

    Attributes:
        name: how people call it, and its log's name.
        command: program and arguments.
        rank: programs of a higher rank are stopped first.
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


def broker(socket_path: Path) -> Program:
    """The message broker of our own."""
    program = embedded_broker.server_program()
    return Program("broker", tuple(embedded_broker.command(program, socket_path)), 0, 5.0)


def worker() -> Program:
    """The checker: takes plans, the clock's ticks and slow work from the queue."""
    return Program(
        "worker",
        (
            *(sys.executable, "-m", "clubsite.deploy.celery_program", "worker"),
            *("-I", "solverworker.tasks"),
            *("-Q", "plans,clock,slow", "--concurrency", str(WORKERS), "-O", "fair"),
            *("--without-mingle", "--without-gossip", "--loglevel", "WARNING"),
        ),
        1,
        10.0,
    )


def clock() -> Program:
    """The clock, which rings for the sets to be issued and for plans that wait too long."""
    return Program(
        "clock",
        (
            *(sys.executable, "-m", "clubsite.deploy.celery_program", "beat"),
            *("--pidfile", "", "--loglevel", "WARNING"),
        ),
        2,
        5.0,
    )


def web(listener: int) -> Program:
    """The web process, on a socket that the supervisor keeps open."""
    return Program(
        "web",
        (
            *(sys.executable, "-m", "clubsite.deploy.web_server"),
            *("--bind", f"fd://{listener}"),
        ),
        3,
        12.0,
        (listener,),
    )
