"""A club's worker or its clock, as ``celery -A clubsite worker`` or ``beat`` with the same options.

    python -m clubsite.deploy.celery_program beat --pidfile ""

Celery's own command loads all of its twenty, a shell and its colours among them, before it runs
one; this one loads what it runs. And what it loads stays for good: meanwhile nobody looks through
it for garbage, nor later, in the children of the worker, who would copy each page looked at.
"""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module
from typing import Any

from clubsite.deploy.variables import SETTINGS

PROGRAMS = ("worker", "beat")


def main(arguments: list[str]) -> int:
    """Run until asked to end; returns the exit status."""
    if not arguments or arguments[0] not in PROGRAMS:
        print(f"Say which: {' or '.join(PROGRAMS)}.", file=sys.stderr)
        return 2
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", SETTINGS)
    gc.disable()
    from celery.bin.base import CLIContext
    from celery.signals import beat_init, worker_init

    from clubsite.celery import app

    # Before the worker has children, before the clock's first ring.
    worker_init.connect(_loaded)
    beat_init.connect(_loaded)
    name, *options = arguments
    command = getattr(import_module(f"celery.bin.{name}"), name)
    return int(
        command.main(
            options,
            prog_name=f"celery {name}",
            # Variables as Celery's own command reads them.
            auto_envvar_prefix=f"CELERY_{name.upper()}",
            obj=CLIContext(app=app, no_color=bool(os.environ.get("NO_COLOR")), workdir=None),
        )
        or 0
    )


def _loaded(**about: Any) -> None:
    gc.freeze()
    gc.enable()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
