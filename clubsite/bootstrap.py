"""The way in, with Python's standard library alone.

``enter`` returns inside a virtual environment ``.venv`` that holds exactly the
packages of the lock files, or makes it first and starts this command again
inside it. Nothing is asked and nothing outside the repository is touched; where
packages come from is pip's own configuration and no business of ours.

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

ROOT = Path(__file__).resolve().parent.parent
RUNTIME_LOCK = "requirements.lock"
TEST_LOCK = "tests/requirements.lock"
LEAST_PYTHON = (3, 11)

_TOKEN = "_WITHIN_EIGHT_ENTERED"
_SET_UP = "_WITHIN_EIGHT_SET_UP"

MAKING, FETCHING, UNPACKING, READY = "making", "fetching", "unpacking", "ready"


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
    if os.environ.pop(_TOKEN, "") == f"{os.getpid()} {python_version()}":
        # This very process has just been found ready, and was replaced by one inside.
        return
    locks = [RUNTIME_LOCK, TEST_LOCK] if argv[1:2] == ["test"] else [RUNTIME_LOCK]
    environment = Environment(root)
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


class Environment:
    """The folder ``.venv`` of one checkout, and what is known of its state."""

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
        """Make the next look find the environment unusable."""
        self.state_file.unlink(missing_ok=True)

    def go_on_inside(self, argv: list[str]) -> None:
        """Replace this process by the same command inside the environment."""
        os.environ[_TOKEN] = f"{os.getpid()} {self.state().get('python')}"
        sys.stdout.flush()
        sys.stderr.flush()
        script = str(self.root / "manage.py")
        os.execv(self.python, [str(self.python), script, *argv[1:]])


def python_version() -> str:
    """The running Python as ``3.11``: packages are built for one such version."""
    return f"{sys.version_info[0]}.{sys.version_info[1]}"
