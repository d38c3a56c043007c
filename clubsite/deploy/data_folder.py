"""A club's data folder: where it is, who uses it, what it holds, what was last served from it.

Standard library alone, so that a copy of the database can be put back when the site
itself does not start.
"""

from __future__ import annotations

import contextlib
import fcntl
import json
import os
import secrets
import shutil
import time
from pathlib import Path
from typing import Any

from clubsite.deploy.janitor import process_lives

PORT = 8008
"""Where a site listens unless the operator says otherwise."""

CLUB, DEMO = "club", "demo"
_NOTES, _RUN, _SECRETS = "folder.json", "run.json", "secrets.json"
_OURS = ("lock", "folder.", "run.", "secrets.", "club.", "backups", "logs", "clock", "static")
"""How the names of all that a data folder holds begin."""


def data_path(argv: list[str], *, demo: bool = False) -> Path:
    """The data folder: ``--data`` among ``argv``, ``WITHIN_EIGHT_DATA``, or the usual place.

    The usual place is that of the XDG Base Directory Specification.
    """
    named = _option(argv, "--data") or os.environ.get("WITHIN_EIGHT_DATA", "").strip()
    if named:
        return Path(named).expanduser().absolute()
    home = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return home / ("within-eight-demo" if demo else "within-eight")


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

        The lock lives as long as any process keeps the descriptor open, so a janitor that
        inherits it keeps the folder until the last process of a killed server is gone: that is
        what ``patience`` waits for, in seconds.

        Raises:
            InUse: when another server uses the folder.
            OSError: when the folder cannot be made or written.
        """
        # Before anything is written: what is refused is left as it was found.
        self._refuse_other_files()
        self.path.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle = os.open(self.path / "lock", os.O_RDWR | os.O_CREAT, 0o600)
        until = time.monotonic() + patience
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                run = self.current_run()
                if process_lives(int(run.get("pid", 0))) or time.monotonic() > until:
                    os.close(handle)
                    raise InUse(self._who(run)) from None
                time.sleep(0.1)
        self._lock_file = handle
        noted = self.noted()
        if noted and noted.get("kind") != self.kind:
            self.release()
            holds = "the demo club" if noted.get("kind") == DEMO else "a real club"
            raise InUse(f"{self.path} holds {holds}. Name another folder with --data.")
        self.path.chmod(0o700)
        self.note(kind=self.kind)
        keep_secret(self.path)
        return handle

    def _refuse_other_files(self) -> None:
        if not self.path.is_dir():
            return
        if not all(entry.name.startswith(_OURS) for entry in self.path.iterdir()):
            raise InUse(f"{self.path} holds other files. Name another folder with --data.")

    def release(self) -> None:
        """Give the folder back."""
        with contextlib.suppress(OSError):
            (self.path / _RUN).unlink()
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

    def noted(self) -> dict[str, Any]:
        """What the folder is and what was last served from it; empty for a new one."""
        return _read_json(self.path / _NOTES)

    def note(self, **changes: Any) -> None:
        """Change what is noted of the folder, in one step."""
        _write_json(self.path / _NOTES, {**self.noted(), **changes})

    def current_run(self) -> dict[str, Any]:
        """Who serves the folder now (or did, if that one was killed)."""
        return _read_json(self.path / _RUN)

    def note_current_run(self, address: str, broker: str) -> None:
        """Tell other commands where the site and its broker are."""
        _write_json(self.path / _RUN, {"pid": os.getpid(), "address": address, "broker": broker})

    def empty(self) -> None:
        """Remove all that the folder holds; only ever done to a demo.

        Raises:
            ValueError: when the folder holds anything else.
        """
        if self.noted().get("kind") != DEMO or self._lock_file is None:
            raise ValueError(f"{self.path} is not a demo folder that this process holds")
        for entry in self.path.iterdir():
            if entry.name in {"lock", _NOTES}:
                continue
            if entry.is_dir() and not entry.is_symlink():
                shutil.rmtree(entry)
            else:
                entry.unlink()
        _write_json(self.path / _NOTES, {"kind": DEMO})
        keep_secret(self.path)


def running_broker(data: Path) -> str:
    """The broker's address of the server that runs from a data folder, or nothing."""
    return str(_read_json(data / _RUN).get("broker", ""))


def served_at(data: Path) -> str:
    """The address of the server that runs from a data folder, or the one it would have."""
    return str(_read_json(data / _RUN).get("address", "")) or f"http://127.0.0.1:{PORT}"


def read_secret(data: Path) -> str:
    """The secret key kept in a data folder, or nothing."""
    try:
        kept = json.loads((data / _SECRETS).read_text(encoding="utf-8"))
    except (FileNotFoundError, NotADirectoryError):
        return ""
    return str(kept["SECRET_KEY"])


def keep_secret(data: Path) -> str:
    """The secret key of a data folder; made at the first call, readable by its owner alone."""
    path = data / _SECRETS
    known = read_secret(data)
    if known:
        path.chmod(0o600)
        return known
    fresh = path.with_suffix(".new")
    fresh.unlink(missing_ok=True)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        json.dump({"SECRET_KEY": secrets.token_urlsafe(48)}, file)
        file.flush()
        os.fsync(file.fileno())
    fresh.replace(path)
    return read_secret(data)


def _option(argv: list[str], name: str) -> str:
    for position, word in enumerate(argv):
        if word == name and position + 1 < len(argv):
            return argv[position + 1]
        if word.startswith(name + "="):
            return word[len(name) + 1 :]
    return ""


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
