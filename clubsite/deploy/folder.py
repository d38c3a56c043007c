"""A club's data folder: who uses it, what it holds, what was last served from it."""

from __future__ import annotations

import contextlib
import fcntl
import json
import os
import shutil
import subprocess
import time
from pathlib import Path
from typing import Any

from clubsite.deploy.environment import keep_secret
from clubsite.deploy.guardian import process_lives

ROOT = Path(__file__).resolve().parents[2]

CLUB, DEMO = "club", "demo"
_OURS = ("lock", "folder.", "run.", "secrets.", "club.", "backups", "logs", "clock", "static")
"""How the names of all that a data folder holds begin."""


class InUse(Exception):
    """Somebody else uses the folder; the text says who."""


class DataFolder:
    """A folder with ``folder.json`` (what it is), ``run.json`` (who serves it) and the rest.

    Args:
        path: the folder; made, private to this user, by ``claim``.
        kind: ``club`` or ``demo``; one is never opened as the other.
    """

    def __init__(self, path: Path, kind: str) -> None:
        self.path = path
        self.kind = kind
        self.database = path / "club.sqlite3"
        self.backups = path / "backups"
        self.logs = path / "logs"
        self._lock_file: int | None = None

    def claim(self, patience: float = 15.0) -> int:
        """Take the folder for this process; returns the descriptor of the lock held.

        The lock lives as long as any process keeps the descriptor open, so a guardian that
        inherits it keeps the folder until the last process of a killed server is gone: that is
        what ``patience`` waits for, in seconds.

        Raises:
            InUse: when another server uses the folder.
            OSError: when the folder cannot be made or written.
        """
        self.path.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle = os.open(self.path / "lock", os.O_RDWR | os.O_CREAT, 0o600)
        until = time.monotonic() + patience
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                run = self.run()
                if process_lives(int(run.get("pid", 0))) or time.monotonic() > until:
                    os.close(handle)
                    raise InUse(self._who(run)) from None
                time.sleep(0.1)
        self._lock_file = handle
        facts = self.facts()
        if facts and facts.get("kind") != self.kind:
            self.release()
            holds = "the demo club" if facts.get("kind") == DEMO else "a real club"
            raise InUse(f"{self.path} holds {holds}. Name another folder with --data.")
        if not all(entry.name.startswith(_OURS) for entry in self.path.iterdir()):
            self.release()
            raise InUse(f"{self.path} holds other files. Name another folder with --data.")
        self.path.chmod(0o700)
        self.note(kind=self.kind)
        keep_secret(self.path)
        return handle

    def release(self) -> None:
        """Give the folder back."""
        with contextlib.suppress(OSError):
            (self.path / "run.json").unlink()
        if self._lock_file is not None:
            os.close(self._lock_file)
            self._lock_file = None

    def _who(self, run: dict[str, Any]) -> str:
        if run.get("address"):
            return (
                f"This club is being served already, at {run['address']} (process {run['pid']}).\n"
                "Stop that one first, or name another folder with --data."
            )
        return f"Another command is using {self.path}. Wait until it has finished."

    def facts(self) -> dict[str, Any]:
        """What the folder is and what was last served from it; empty for a new one."""
        return _read_json(self.path / "folder.json")

    def note(self, **changes: Any) -> None:
        """Change the facts, in one step."""
        _write_json(self.path / "folder.json", {**self.facts(), **changes})

    def run(self) -> dict[str, Any]:
        """Who serves the folder now (or did, if that one was killed)."""
        return _read_json(self.path / "run.json")

    def note_run(self, address: str, broker: str) -> None:
        """Tell other commands where the site and its broker are."""
        _write_json(
            self.path / "run.json", {"pid": os.getpid(), "address": address, "broker": broker}
        )

    def empty(self) -> None:
        """Remove all that the folder holds; only ever done to a demo.

        Raises:
            ValueError: when the folder holds anything else.
        """
        if self.facts().get("kind") != DEMO or self._lock_file is None:
            raise ValueError(f"{self.path} is not a demo folder that this process holds")
        for entry in self.path.iterdir():
            if entry.name in {"lock", "folder.json"}:
                continue
            if entry.is_dir() and not entry.is_symlink():
                shutil.rmtree(entry)
            else:
                entry.unlink()
        _write_json(self.path / "folder.json", {"kind": DEMO})
        keep_secret(self.path)


def commit_served() -> str:
    """The commit of this checkout, shortened; empty when it is not a git checkout."""
    try:
        run = subprocess.run(
            ["git", "rev-parse", "--short=12", "HEAD"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=5,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return ""
    return run.stdout.strip() if run.returncode == 0 else ""


def _read_json(path: Path) -> dict[str, Any]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _write_json(path: Path, content: dict[str, Any]) -> None:
    fresh = path.with_suffix(".new")
    with fresh.open("w", encoding="utf-8") as file:
        json.dump(content, file, indent=1)
        file.flush()
        os.fsync(file.fileno())
    fresh.chmod(0o600)
    fresh.replace(path)
