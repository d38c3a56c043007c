"""A whole site of real processes, with the commands that a club's server uses."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import tempfile
import urllib.error
import urllib.request
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from clubsite.deploy import network, programs, variables
from clubsite.deploy.checkout import ROOT
from tests.stack.servers import wait_for

PHRASE = "seven wooden boats"
SLUG = "lantern-street"


SCOPES = ["read_own", "hand_in", "coach_read", "coach_write", "people"]
"""All that a program may do."""


class Driver:
    """A process that takes the steps of ``tests.stack.club``, one after the other."""

    def __init__(self, environ: dict[str, str]) -> None:
        self.environ = dict(environ)
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.stack.club"],
            env=self.environ,
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def take(self, *words: str, stdin: str = "") -> Any:
        """Take one step. ``stdin``: the line that it reads, if any."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps(words) + "\n" + stdin)
        self._process.stdin.flush()
        said = self._process.stdout.readline()
        assert said, f"The step {words} ended with status {self._process.wait()}."
        return json.loads(said)

    def close(self) -> None:
        """End it."""
        self._process.communicate(timeout=60)


class Site:
    """One club's site.

    Args:
        data: its data folder.
        database_url: empty for SQLite in the data folder.
        broker_url: the broker's address.
    """

    def __init__(self, data: Path, *, database_url: str, broker_url: str) -> None:
        self.data = data
        outside = {name: value for name, value in os.environ.items() if name not in NOT_OURS}
        if database_url:
            outside["DATABASE_URL"] = database_url
        self.environ = variables.for_server(
            data, demo=False, broker_url=broker_url, hosts=["localhost", "127.0.0.1"],
            outside=outside,
        )  # fmt: skip
        self._listener = network.listen("127.0.0.1", 0, "test")
        self.port = int(self._listener.getsockname()[1])
        self.headers: dict[str, str] = {"Host": "localhost"}
        self.processes: dict[str, subprocess.Popen[bytes]] = {}
        self.logs: dict[str, Path] = {}
        self._driver: Driver | None = None

    # Processes ----------------------------------------------------------------

    def prepare(self) -> None:
        """Make the database, as ``serve`` does."""
        self.run([*programs.manage("prepare")])

    def run(self, command: list[str], stdin: str = "") -> str:
        """Run a command to its end in the site's environment; returns what it prints."""
        done = subprocess.run(
            command,
            env=self.environ,
            cwd=ROOT,
            input=stdin,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def drive(self, *words: str, stdin: str = "") -> Any:
        """Run a step of ``tests.stack.club`` and read the JSON that it prints."""
        if self._driver is None or self._driver.environ != self.environ:
            self._stop_driver()
            self._driver = Driver(self.environ)
        return self._driver.take(*words, stdin=stdin)

    def _stop_driver(self) -> None:
        if self._driver is not None:
            self._driver.close()
        self._driver = None

    def start(self, *names: str) -> None:
        """Start programs by name: web, worker, clock."""
        for name in names:
            self.start_program(self._program(name))

    def start_program(
        self, program: programs.Program, environ: dict[str, str] | None = None
    ) -> None:
        """Start one program, its output in a file of the data folder."""
        log = self.logs[program.name] = self.data / f"{program.name}.test.log"
        with log.open("ab") as out:
            self.processes[program.name] = subprocess.Popen(
                program.command,
                env=environ or self.environ,
                cwd=ROOT,
                stdin=subprocess.DEVNULL,
                stdout=out,
                stderr=subprocess.STDOUT,
                pass_fds=program.keep_open,
                start_new_session=True,
            )

    def _program(self, name: str) -> programs.Program:
        if name == "web":
            return programs.web(self._listener.fileno())
        return programs.worker() if name == "worker" else programs.clock()

    def kill(self, name: str) -> None:
        """End a program and what is below it as a power cut would."""
        process = self.processes.pop(name)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()

    def close(self) -> None:
        """End everything that was started; what it said is shown beside a test that failed."""
        self._stop_driver()
        ended = {name: one.poll() for name, one in self.processes.items()}
        for name in list(self.processes):
            self.kill(name)
        self._listener.close()
        for name, log in self.logs.items():
            lines = log.read_text(errors="replace").splitlines()[-200:]
            print(f"--- {name}, ended by itself: {ended.get(name)}", *lines, sep="\n")

    # Requests -----------------------------------------------------------------

    def ask(
        self, path: str, *, token: str = "", body: Any = None, timeout: float = 30.0
    ) -> tuple[int, Any]:
        """Status and JSON of a request; with a body it is a POST."""
        headers = {**self.headers, "Accept": "application/json"}
        data = None
        if body is not None:
            headers["Content-Type"] = "application/json"
            data = json.dumps(body).encode()
        if token:
            headers["Authorization"] = f"Bearer {token}"
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}{path}", data=data, headers=headers
        )
        try:
            with urllib.request.urlopen(request, timeout=timeout) as answer:
                return answer.status, json.loads(answer.read())
        except urllib.error.HTTPError as error:
            with error:
                return error.code, json.loads(error.read())

    def wait_until_open(self) -> None:
        """Wait for the web process's first answer."""

        def answers() -> bool:
            with contextlib.suppress(OSError, ValueError):
                return self.ask("/health/", timeout=2)[0] in (200, 503)
            return False

        wait_for(answers, "the web process answers")

    def sign_in(self, name: str) -> str:
        """A token for somebody of the club."""
        body = {"sign_in_name": name, "phrase": PHRASE, "scopes": SCOPES}
        status, answer = self.ask("/api/v1/tokens/", body=body)
        assert status == 201, answer
        return str(answer["token"])

    def hand_in(
        self, token: str, set_id: int, number: int, plan: str, timeout: float = 30.0
    ) -> tuple[int, Any]:
        """Hand in a plan as the API's clients do."""
        path = f"/api/v1/clubs/{SLUG}/sets/{set_id}/scrambles/{number}/plan/"
        body = {"key": str(uuid.uuid4()), "plan": plan}
        return self.ask(path, token=token, body=body, timeout=timeout)

    def verdict(self, token: str, set_id: int, number: int, seconds: float = 60.0) -> Any:
        """Wait until a plan is no longer waiting; returns it."""
        path = f"/api/v1/clubs/{SLUG}/sets/{set_id}/scrambles/{number}/plan/"

        def checked() -> Any:
            status, plan = self.ask(path, token=token)
            assert status == 200, plan
            return plan if plan["state"] != "waiting" else None

        # The API lets a person ask 240 times a minute.
        return wait_for(checked, f"a verdict on scramble {number}", seconds, every=0.3)

    def table(self, token: str, set_id: int) -> Any:
        """The set's table as somebody sees it."""
        status, table = self.ask(f"/api/v1/clubs/{SLUG}/sets/{set_id}/table/", token=token)
        assert status == 200, table
        return table


NOT_OURS = {
    *("DATABASE_URL", "REDIS_URL", "SECRET_KEY", "DJANGO_SETTINGS_MODULE", "ALLOWED_HOSTS"),
    *("WITHIN_EIGHT_DATA", "SECURE", "NUM_PROXIES", "CSRF_TRUSTED_ORIGINS", "DEBUG", "DEMO"),
}
"""Variables of the test run itself that a site under test must not inherit."""


def children(pid: int) -> list[int]:
    """The processes directly below one, from ``/proc``."""
    text = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    return [int(word) for word in text.split()]


@contextlib.contextmanager
def short_folder() -> Iterator[Path]:
    """A temporary folder whose path is short enough for a socket."""
    with tempfile.TemporaryDirectory(prefix="we-") as folder:
        yield Path(folder)
