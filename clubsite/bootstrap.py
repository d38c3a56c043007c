"""The way in, with Python's standard library alone.

``enter`` returns inside a virtual environment that holds exactly the packages of the
lock files, or makes it first and starts this command again inside it. Nothing is asked
and nothing outside the repository is touched; where packages come from is pip's own
configuration and no business of ours.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from clubsite.deploy.checkout import ROOT
from clubsite.deploy.environments import Environments
from clubsite.deploy.virtual_environment import RUNTIME_LOCK, TEST_LOCK, found_ready, hold

_SET_UP = "_WITHIN_EIGHT_SET_UP"


def enter(argv: list[str], root: Path = ROOT) -> None:
    """Return inside the environment that ``argv`` needs; this may replace the process.

    ``WITHIN_EIGHT_SETUP=off`` leaves the running Python as it is, for a machine
    whose packages come another way (a container image, a distribution).

    Raises:
        SystemExit: with a sentence, when the environment cannot be made.
    """
    setup = os.environ.get("WITHIN_EIGHT_SETUP", "").strip().lower()
    if setup == "off":
        return
    if setup not in {"", "on"}:
        sys.stderr.write(
            f"WITHIN_EIGHT_SETUP is {setup!r}. Write off to use the Python that runs, or nothing.\n"
        )
        raise SystemExit(2)
    if sys.platform == "win32":
        raise SystemExit(
            "Within Eight runs on Linux and macOS. On Windows it runs through WSL: open the Linux "
            "terminal that WSL gives you and run the same command there."
        )
    just_set_up = os.environ.pop(_SET_UP, "") == str(os.getpid())
    if found_ready():
        hold()
        return
    locks = [RUNTIME_LOCK, TEST_LOCK] if argv[1:2] == ["test"] else [RUNTIME_LOCK]
    environments = Environments(root)
    ready = environments.ready(locks)
    if ready is not None:
        if ready.is_running() and sys.prefix == os.path.realpath(sys.prefix):
            hold()
            return
        try:
            if ready.folder != environments.current().folder:
                # The way back of an upgrade: it was kept.
                environments.point_to(ready)
            ready.go_on_inside(argv)
        except OSError:
            # The folder is there and its Python is not: moved, or the system's was replaced.
            ready.state_file.unlink(missing_ok=True)
    elif just_set_up:
        raise SystemExit(
            f"The set-up finished, and yet {environments.kept} holds nothing usable. Remove that "
            "folder and run this again."
        )
    from clubsite.deploy.installer import set_up

    made = set_up(environments, locks)
    os.environ[_SET_UP] = str(os.getpid())
    made.go_on_inside(argv)
