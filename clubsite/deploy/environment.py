"""The variables that the settings read, for a machine where nobody set any.

A variable that is set already always wins. What is missing comes from the data
folder, which is made here only by those who serve a club from it.
"""

from __future__ import annotations

import json
import os
import secrets
from collections.abc import MutableMapping
from pathlib import Path

SECRETS_FILE = "secrets.json"
SETTINGS = "clubsite.settings.base"
PORT = 8008


def data_home() -> Path:
    """Where programs keep a person's data (XDG Base Directory Specification)."""
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")


def data_folder(argv: list[str], *, demo: bool = False) -> Path:
    """The data folder: ``--data`` among ``argv``, ``WITHIN_EIGHT_DATA``, or the usual place."""
    named = _option(argv, "--data") or os.environ.get("WITHIN_EIGHT_DATA", "").strip()
    if named:
        return Path(named).expanduser().absolute()
    return data_home() / ("within-eight-demo" if demo else "within-eight")


def cache_folder() -> Path:
    """Where compiled code and computed tables are kept; all of it can be made again."""
    named = os.environ.get("WITHIN_EIGHT_CACHE", "").strip()
    if named:
        return Path(named).expanduser().absolute()
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home) / "within-eight"


def complete(environ: MutableMapping[str, str], argv: list[str]) -> None:
    """Fill in what the settings need for a management command run by hand.

    Without a data folder's secret the command gets one that lives as long as
    the command, so that nothing is ever signed with a secret known to others.
    """
    data = data_folder(argv)
    environ["WITHIN_EIGHT_DATA"] = str(data)
    environ["WITHIN_EIGHT_CACHE"] = str(cache_folder())
    environ.setdefault("DJANGO_SETTINGS_MODULE", SETTINGS)
    if not environ.get("SECRET_KEY"):
        environ["SECRET_KEY"] = read_secret(data) or secrets.token_urlsafe(48)
    if not environ.get("REDIS_URL") and (broker := running_broker(data)):
        environ["REDIS_URL"] = broker


def running_broker(data: Path) -> str:
    """The broker's address of the server that runs from a data folder, or nothing."""
    return _of_the_run(data, "broker")


def served_at(data: Path) -> str:
    """The address of the server that runs from a data folder, or the one it would have."""
    return _of_the_run(data, "address") or f"http://127.0.0.1:{PORT}"


def _of_the_run(data: Path, name: str) -> str:
    try:
        run = json.loads((data / "run.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return ""
    return str(run.get(name, "")) if isinstance(run, dict) else ""


def read_secret(data: Path) -> str:
    """The secret key kept in a data folder, or nothing."""
    try:
        kept = json.loads((data / SECRETS_FILE).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return ""
    return str(kept["SECRET_KEY"])


def keep_secret(data: Path) -> str:
    """The secret key of a data folder; made at the first call, readable by its owner alone."""
    path = data / SECRETS_FILE
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
