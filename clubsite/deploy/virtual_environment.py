"""The folder ``.venv`` of one checkout, and what is known of its state.

Standard library alone: this is read before any package is there.

How far a set-up has come is kept in ``.venv/within-eight.json``. Fetching may be
cut off at any time and goes on where it was; a set-up cut off while packages
were being unpacked is made again, because a half-written package can look whole.
"""

from __future__ import annotations

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


def found_ready() -> bool:
    """Whether this very process has just been found ready, and was replaced by one inside."""
    return os.environ.pop(_FOUND_READY, "") == f"{os.getpid()} {python_version()}"


class VirtualEnvironment:
    """The folder ``.venv`` below ``root``, with its state file, its lock and its log."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.folder = root / ".venv"
        self.python = self.folder / "bin" / "python"
        self.state_file = self.folder / "within-eight.json"
        self.lock_file = root / ".venv.lock"
        self.log_file = root / ".venv.log"

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
        return all(installed.get(lock) == self.digest(lock) for lock in locks)

    def digest(self, lock: str) -> str:
        """A fingerprint of a lock file's bytes."""
        from hashlib import sha256

        return sha256((self.root / lock).read_bytes()).hexdigest()

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

    def forget(self) -> None:
        """Make the next look find the folder unusable."""
        self.state_file.unlink(missing_ok=True)

    def go_on_inside(self, argv: list[str]) -> None:
        """Replace this process by the same command inside the folder."""
        os.environ[_FOUND_READY] = f"{os.getpid()} {self.state().get('python')}"
        sys.stdout.flush()
        sys.stderr.flush()
        script = str(self.root / "manage.py")
        os.execv(self.python, [str(self.python), script, *argv[1:]])


def python_version() -> str:
    """The running Python as ``3.11``: packages are built for one such version."""
    return f"{sys.version_info[0]}.{sys.version_info[1]}"
