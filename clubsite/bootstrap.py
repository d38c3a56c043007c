"""The way in, with Python's standard library alone.

``enter`` returns inside a virtual environment ``.venv`` that holds exactly the
packages of the lock files, or makes it first and starts this command again
inside it. Nothing is asked and nothing outside the repository is touched; where
packages come from is pip's own configuration and no business of ours.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from clubsite.deploy.checkout import ROOT
from clubsite.deploy.virtual_environment import (
    RUNTIME_LOCK,
    TEST_LOCK,
    VirtualEnvironment,
    found_ready,
)

_SET_UP = "_WITHIN_EIGHT_SET_UP"


def enter(argv: list[str], root: Path = ROOT) -> None:
    """Return inside the environment that ``argv`` needs; this may replace the process.

    ``WITHIN_EIGHT_SETUP=off`` leaves the running Python as it is, for a machine
    whose packages come another way (a container image, a distribution).

    Raises:
        SystemExit: with a sentence, when the environment cannot be made.
    """
    if os.environ.get("WITHIN_EIGHT_SETUP", "").strip().lower() == "off":
        return
    if sys.platform == "win32":
        raise SystemExit(
            "Within Eight runs on Linux and macOS. On Windows it runs through WSL: open the Linux "
            "terminal that WSL gives you and run the same command there."
        )
    just_set_up = os.environ.pop(_SET_UP, "") == str(os.getpid())
    if found_ready():
        return
    locks = [RUNTIME_LOCK, TEST_LOCK] if argv[1:2] == ["test"] else [RUNTIME_LOCK]
    environment = VirtualEnvironment(root)
    inside = environment.is_running()
    if environment.is_ready(locks):
        if inside:
            return
        try:
            environment.go_on_inside(argv)
        except OSError:
            # The folder is there and its Python is not: moved, or the system's was replaced.
            environment.forget()
    elif inside and just_set_up:
        raise SystemExit(
            f"The set-up finished, and yet {environment.folder} is not usable. Remove that folder "
            "and run this again."
        )
    from clubsite.deploy.installer import set_up

    set_up(environment, locks)
    os.environ[_SET_UP] = str(os.getpid())
    environment.go_on_inside(argv)
