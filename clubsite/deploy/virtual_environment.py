"""One virtual environment: its folder, how far its set-up has come, who runs from it.

Standard library alone: this is read before any package is there.

How far a set-up has come is kept in ``within-eight.json`` of the folder. Fetching may
be cut off at any time and goes on where it was; a set-up cut off while packages were
being unpacked is made again, because a half-written package can look whole.

A process that runs from an environment holds a shared lock on its ``pyvenv.cfg``,
which nothing ever rewrites. A folder so held is neither changed nor removed.
"""

from __future__ import annotations

import fcntl
import json
import os
import sys
from pathlib import Path

TYPE_CHECKING = False
if TYPE_CHECKING:
    # Loading it would cost every command some milliseconds.
    from typing import Any

RUNTIME_LOCK = "requirements.lock"
TEST_LOCK = "tests/requirements.lock"

MAKING, FETCHING, UNPACKING, READY = "making", "fetching", "unpacking", "ready"
"""The phases of a set-up, in order."""

_FOUND_READY = "_WITHIN_EIGHT_ENTERED"
_HELD: list[int] = []


def found_ready() -> bool:
    """Whether this very process has just been found ready, and was replaced by one inside."""
    return os.environ.pop(_FOUND_READY, "") == f"{os.getpid()} {python_version()}"


def hold() -> None:
    """Keep the environment that this process runs from as it is, until the process ends."""
    if _HELD or sys.prefix == sys.base_prefix:
        return
    try:
        handle = os.open(os.path.join(sys.prefix, "pyvenv.cfg"), os.O_RDONLY)  # noqa: PTH118
    except OSError:
        return
    try:
        fcntl.flock(handle, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        return
    _HELD.append(handle)


class VirtualEnvironment:
    """The environment in ``folder``, for the lock files of the checkout ``root``."""

    def __init__(self, root: Path, folder: Path) -> None:
        self.root = root
        self.folder = folder
        self.python = folder / "bin" / "python"
        self.state_file = folder / "within-eight.json"

    def is_running(self) -> bool:
        """Whether this very process runs inside."""
        return os.path.realpath(sys.prefix) == os.path.realpath(self.folder)

    def is_ready(self, locks: list[str]) -> bool:
        """Whether every package of ``locks`` was installed as the lock files now stand."""
        state = self.state()
        if state.get("phase") != READY or not os.access(self.python, os.X_OK):
            return False
        if self.is_running() and state.get("python") != python_version():
            return False
        installed = state.get("installed", {})
        return all(installed.get(lock) == digest(self.root, lock) for lock in locks)

    def is_held(self) -> bool:
        """Whether a process runs from it; where that cannot be known, as if one did."""
        try:
            handle = os.open(self.folder / "pyvenv.cfg", os.O_RDONLY)
        except FileNotFoundError:
            return False
        except OSError:
            return True
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return True
        finally:
            os.close(handle)
        return self._is_mapped()

    def _is_mapped(self) -> bool:
        """Whether a process has loaded a library from it: one that never came through our door."""
        if not sys.platform.startswith("linux"):
            return False
        mark = (os.path.realpath(self.folder) + os.sep).encode()
        for process in Path("/proc").iterdir():
            if not process.name.isdigit() or int(process.name) == os.getpid():
                continue
            try:
                if mark in (process / "maps").read_bytes():
                    return True
            except OSError:
                continue
        return False

    def state(self) -> dict[str, Any]:
        """What the state file says; empty when there is none or it cannot be read."""
        try:
            state = json.loads(self.state_file.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return state if isinstance(state, dict) else {}

    def note(self, **changes: object) -> None:
        """Change the state file in one step, so that a cut never leaves half of it."""
        fresh = self.state_file.with_suffix(".new")
        fresh.write_text(json.dumps({**self.state(), **changes}, indent=1), encoding="utf-8")
        fresh.replace(self.state_file)

    def go_on_inside(self, argv: list[str]) -> None:
        """Replace this process by the same command inside the folder.

        By the folder's own name, not by the link to it: what runs keeps its packages when the
        link is set to another folder.
        """
        os.environ[_FOUND_READY] = f"{os.getpid()} {self.state().get('python')}"
        sys.stdout.flush()
        sys.stderr.flush()
        script = str(self.root / "manage.py")
        python = os.path.join(os.path.realpath(self.folder), "bin", "python")  # noqa: PTH118
        os.execv(python, [python, script, *argv[1:]])


def digest(root: Path, lock: str) -> str:
    """A fingerprint of a lock file's bytes."""
    from hashlib import sha256

    return sha256((root / lock).read_bytes()).hexdigest()


def python_version() -> str:
    """The running Python as ``3.11``: packages are built for one such version."""
    return f"{sys.version_info[0]}.{sys.version_info[1]}"
