"""The virtual environments of one checkout, side by side, and the link to the one in use.

Each has a folder of its own below ``.venv.d``, named by what it holds: the Python, what
it is for, the lock files' bytes. ``.venv`` is a link to the newest. So a change of the
lock files makes another folder beside, the link is set in one step when it is whole, and
who runs from the old folder keeps it; the way back to the old lock files finds it again.

Standard library alone: this is read before any package is there.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from clubsite.deploy.virtual_environment import (
    TEST_LOCK,
    VirtualEnvironment,
    digest,
    python_version,
)


class Environments:
    """All environments of the checkout ``root``."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.link = root / ".venv"
        self.kept = Path(os.path.realpath(root)) / ".venv.d"
        self.lock_file = root / ".venv.lock"
        self.log_file = root / ".venv.log"

    def current(self) -> VirtualEnvironment:
        """The one that ``.venv`` names; it may not be there.

        Older versions made ``.venv`` a folder: it serves as long as its packages are right.
        """
        return VirtualEnvironment(self.root, Path(os.path.realpath(self.link)))

    def all(self) -> list[VirtualEnvironment]:
        """The current one, then those beside it, the newest first."""
        current = self.current()
        beside = self.kept.iterdir() if self.kept.is_dir() else iter(())
        others = [
            VirtualEnvironment(self.root, folder)
            for folder in sorted(beside, key=_made, reverse=True)
            if folder.is_dir() and folder != current.folder
        ]
        return [current, *others]

    def ready(self, locks: list[str]) -> VirtualEnvironment | None:
        """The first that has all packages of ``locks``."""
        current = self.current()
        if current.is_ready(locks):
            return current
        return next((one for one in self.all() if one.is_ready(locks)), None)

    def place_for(self, locks: list[str]) -> VirtualEnvironment:
        """Where an environment for ``locks`` is to be made, or gone on with."""
        purpose = "test" if TEST_LOCK in locks else "site"
        prints = "".join(digest(self.root, lock)[:8] for lock in locks)
        name = f"{purpose}-{python_version()}-{prints}"
        number = 1
        while True:
            suffix = f"-{number}" if number > 1 else ""
            found = VirtualEnvironment(self.root, self.kept / f"{name}{suffix}")
            # One that is held and yet not ready has lost its Python: whoever runs keeps the rest.
            if not found.is_held():
                return found
            number += 1

    def use(self, environment: VirtualEnvironment) -> None:
        """Let ``.venv`` name this one, in one step, and remove those that nobody needs.

        Kept are this one, all from which something runs, and the one in use before, for the way
        back of an upgrade. A folder ``.venv`` of an older version is left when it is in use.
        """
        before = self.current()
        if environment.folder == before.folder:
            return
        if self.link.is_dir() and not self.link.is_symlink():
            if before.is_held():
                print(f"{self.link} is in use and stays as it is; this runs from", flush=True)
                print(f"{environment.folder}.", flush=True)
                return
            # It goes where the loop below finds it, and a cut leaves it to the next change.
            self.link.rename(self.kept / f"folder-{os.getpid()}")
            before = self.current()
        self.point_to(environment)
        for one in self.all():
            if one.folder not in {environment.folder, before.folder} and not one.is_held():
                remove(one.folder)

    def point_to(self, environment: VirtualEnvironment) -> None:
        """Let ``.venv`` name this one, unless it is a folder of an older version."""
        if self.link.is_dir() and not self.link.is_symlink():
            return
        fresh = self.link.with_name(f".venv.new-{os.getpid()}")
        fresh.unlink(missing_ok=True)
        folder = environment.folder.relative_to(os.path.realpath(self.root))
        fresh.symlink_to(folder, target_is_directory=True)
        fresh.replace(self.link)


def remove(folder: Path) -> None:
    """Take the folder out of the way in one step, then delete it."""
    aside = folder.with_name(f"{folder.name}.old-{os.getpid()}")
    folder.rename(aside)
    shutil.rmtree(aside, ignore_errors=True)


def _made(folder: Path) -> float:
    try:
        return (folder / "within-eight.json").stat().st_mtime
    except OSError:
        return 0.0
