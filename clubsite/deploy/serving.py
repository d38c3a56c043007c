"""``serve`` and ``demo``: from a data folder to an open site, and back to silence.

This process loads neither Django nor the site. It makes ready what is missing,
starts the programs, says where the site is, and looks after them until it is
asked to end.
"""

from __future__ import annotations

import contextlib
import os
import socket
import sys
import time
from argparse import Namespace
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from clubsite.deploy import (
    backups,
    checkout,
    embedded_broker,
    network,
    programs,
    terminal,
    variables,
)
from clubsite.deploy.aside import Aside
from clubsite.deploy.data_folder import CLUB, DEMO, DataFolder, InUse, data_path
from clubsite.deploy.options import parser
from clubsite.deploy.preparations import MISTAKEN, Preparation, PreparationFailed
from clubsite.deploy.processes import Janitor, Log
from clubsite.deploy.supervisor import GaveUp, Supervisor
from clubsite.deploy.watcher import Health, Watcher

OPENING_SECONDS = 60.0


def main(arguments: list[str], *, demo: bool) -> int:
    """Serve until asked to end; returns the exit status."""
    options = parser(demo=demo).parse_args(arguments)
    if options.lan:
        options.host = next(iter(network.EVERYWHERE))
    try:
        return Server(options, demo=demo).run()
    except (
        InUse,
        network.CannotListen,
        embedded_broker.NoBroker,
        PreparationFailed,
        GaveUp,
    ) as refusal:
        sys.stdout.flush()
        print(refusal, file=sys.stderr)
        mistaken = isinstance(refusal, PreparationFailed) and refusal.status == MISTAKEN
        return MISTAKEN if mistaken else 1
    except KeyboardInterrupt:
        print("\nEnded.", flush=True)
        return 130
    except OSError as error:
        sys.stdout.flush()
        print(f"{error.filename or 'The system'}: {error.strerror or error}", file=sys.stderr)
        return 1


def say(text: str = "") -> None:
    """Write a line to the operator at once; where it finds no room, the site goes on."""
    with contextlib.suppress(OSError):
        print(text, flush=True)


class Server:
    """One run of a club's server."""

    def __init__(self, options: Namespace, *, demo: bool) -> None:
        self.options = options
        self.demo = demo
        argv = ["--data", options.data] if options.data else []
        self.folder = DataFolder(data_path(argv, demo=demo), DEMO if demo else CLUB)
        self.command = f"python3 manage.py {'demo' if demo else 'serve'}"
        self._catching_up: Aside | None = None

    # The course of a run ----------------------------------------------------------

    def run(self) -> int:
        """Claim, prepare, open, look after, end."""
        lock = self.folder.claim()
        try:
            self._clear_away()
            listener = network.listen(self.options.host, self.options.port, self.command)
            with listener:
                janitor = Janitor(keep_open=[lock])
                try:
                    return self._run_with(janitor, listener)
                finally:
                    janitor.dismiss()
        finally:
            self.folder.release()

    def _clear_away(self) -> None:
        """What killed runs left; the folder is claimed, so nobody restores into it now."""
        left = backups.clean_restored(self.folder.database)
        if self.folder.backups.is_dir():
            left += backups.clean(self.folder.backups)
        for path in left:
            say(f"Cleared away, left by a run that was killed: {path.name}")

    def _run_with(self, janitor: Janitor, listener: socket.socket) -> int:
        self.port = int(listener.getsockname()[1])
        if self.demo and not self._make_room():
            say("Nothing was changed.")
            return 0
        broker_socket = self._own_broker()
        broker_url = (
            embedded_broker.url(broker_socket) if broker_socket else self._outer("REDIS_URL")
        )
        self._variables = variables.for_server(
            self.folder.path,
            demo=self.demo,
            broker_url=broker_url,
            hosts=network.host_names(self.options.host),
            address=self._public_address(),
        )
        supervisor = Supervisor(self._variables, janitor=janitor, make_log=self._log, say=say)
        with supervisor.listening():
            try:
                if broker_socket is not None:
                    broker_socket.unlink(missing_ok=True)
                    supervisor.start(programs.broker(broker_socket))
                told = self._make_ready(janitor, supervisor)
                supervisor.start(programs.web(listener.fileno()))
                supervisor.start(programs.worker())
                supervisor.start(programs.clock())
                self.folder.note_current_run(self._address(), broker_url)
                health = Health(self.options.host, self.port)
                if self._wait_until_open(supervisor, health):
                    self.folder.note(commit=checkout.commit())
                    self._greet(told)
                    if told.get("catch_up"):
                        self._catching_up = Aside("catchup", self._variables, janitor, say)
                    self._look_after(supervisor, health, broker_socket)
            except KeyboardInterrupt:
                pass
            finally:
                if supervisor.stopping:
                    say("\nEnding.")
                if self._catching_up is not None:
                    self._catching_up.end()
                supervisor.end_all()
                if broker_socket is not None:
                    embedded_broker.leave(broker_socket)
        say("Everything has ended.")
        return 0

    # Before anything starts -------------------------------------------------------

    def _make_room(self) -> bool:
        """Empty the demo's folder when asked to, or when the last start was cut short."""
        noted = self.folder.noted()
        if noted.get("filled"):
            if not self.options.fresh:
                return True
            if not self.options.no_input and sys.stdin.isatty():
                say(f"The demo club in {self.folder.path} is made again.")
                say("What was done in it is lost.")
                if input("Go on? [y/N] ").strip().lower() not in {"y", "yes"}:
                    return False
        elif self.folder.database.exists():
            say("The demo club was not finished last time. It is made again.")
        self.folder.empty()
        return True

    def _own_broker(self) -> Path | None:
        """The socket of the broker of our own; None when ``REDIS_URL`` names another."""
        if self._outer("REDIS_URL") and not self.demo:
            return None
        return embedded_broker.runtime_folder(self.folder.path) / "broker.sock"

    def _make_ready(self, janitor: Janitor, supervisor: Supervisor) -> dict[str, object]:
        """Bring the database to its shape and compile the solver, both at once; fill the demo.

        A solver that an earlier start has compiled needs no program of its own to see that.
        """
        # Here, because what sets up needs the way in alone.
        from solverworker import readiness

        prepare = programs.manage("prepare")
        if not self.demo:
            prepare += ["--owner-link", self._address_for_others()]
        if commit := str(self.folder.noted().get("commit", "")):
            prepare += ["--came-from", commit]

        def stopping() -> bool:
            return supervisor.stopping

        compiling: Preparation | None = None
        if not readiness.is_ready(Path(self._variables["WITHIN_EIGHT_CACHE"])):
            compiling = Preparation(
                "Solver",
                programs.manage("warmup"),
                environ=self._variables,
                janitor=janitor,
                result="compiled for this machine",
            )
        database = Preparation(
            "Database",
            prepare,
            environ=self._variables,
            janitor=janitor,
            result="ready",
            tells=True,
        )
        told = database.finish(stopping)
        for line in database.lines:
            say(line)
        if compiling is not None:
            compiling.finish(stopping)
        if self.demo:
            self._fill_demo(janitor, stopping)
        return told

    def _fill_demo(self, janitor: Janitor, stopping: Callable[[], bool]) -> None:
        """Make the demo club, or bring it up to today when it was left on an earlier day."""
        today = datetime.now(UTC).date().isoformat()
        if self.folder.noted().get("filled") == today:
            return
        filling = Preparation(
            "Demo club",
            programs.manage("demoseed"),
            environ=self._variables,
            janitor=janitor,
            result="up to today",
        )
        filling.finish(stopping)
        self.folder.note(filled=today, accounts=filling.lines)

    # Open -------------------------------------------------------------------------

    def _wait_until_open(self, supervisor: Supervisor, health: Health) -> bool:
        """Wait for the first answer; False when the end was asked for meanwhile."""
        until = time.monotonic() + OPENING_SECONDS
        while not supervisor.stopping:
            if health.ask(timeout=1.0) is not None:
                return True
            if time.monotonic() > until:
                raise GaveUp(
                    f"The web process does not answer. Its words are in {self.folder.logs}/web.log."
                )
            supervisor.look_after()
            supervisor.rest(0.1)
        return False

    def _look_after(
        self, supervisor: Supervisor, health: Health, broker_socket: Path | None
    ) -> None:
        names = ("broker", "web", "worker", "clock")
        watcher = Watcher(
            health, broker_socket, lambda: {name: supervisor.uptime(name) for name in names}
        )
        watcher.start()
        while not supervisor.stopping:
            supervisor.look_after()
            if self._catching_up is not None:
                self._catching_up.look()
            for finding in watcher.findings():
                supervisor.start_again(finding.program, finding.why)
            for notice in watcher.notices():
                say(notice)
            supervisor.rest(0.5)
        watcher.end()

    # What is said -----------------------------------------------------------------

    def _greet(self, told: dict[str, object]) -> None:
        say()
        say("The demo club is open:" if self.demo else "The club is open:")
        say()
        say(f"    {self._address()}")
        if self._listens_outside():
            near = self._address_for_others()
            if near != self._address():
                say(f"    {near}   for phones and computers in the same network")
                say()
                if terminal.shows(sys.stdout, "▄█"):
                    say(network.qr_code(near, colours=terminal.colours(sys.stdout)))
            if near.startswith("http://") and not self.demo:
                say("Pass phrases travel in clear to that address: whoever shares the network can")
                say('read them. With https: clubsite/deploy/OPERATING.md, "Behind a proxy".')
        say()
        if self.demo:
            self._greet_demo()
        elif told.get("owner_link"):
            say("Nobody owns a club here yet. This link makes you the owner. It works once:")
            say()
            say(f"    {told['owner_link']}")
            say()
        elif told.get("needs_owner"):
            say("Nobody owns a club here yet. The link for the owner was printed at the first")
            say(f"start. To make it again:  python3 manage.py ownerlink{self._data_option()}")
            say()
        say(f"Ctrl-C ends it. Data and logs are in {self.folder.path}.")

    def _greet_demo(self) -> None:
        for line in self.folder.noted().get("accounts", []):
            say(line)
        say()

    def _data_option(self) -> str:
        return f" --data {self.options.data}" if self.options.data else ""

    def _listens_outside(self) -> bool:
        return self.options.host not in {"127.0.0.1", "localhost", "::1"}

    def _public_address(self) -> str:
        return "" if self.demo else (self.options.address or "")

    def _address(self) -> str:
        """Where a browser on this machine finds the site."""
        if self._public_address():
            return self._public_address()
        host = network.EVERYWHERE.get(self.options.host, self.options.host)
        return network.http_address(host, self.port)

    def _address_for_others(self) -> str:
        """Where other machines find it; the same as ``_address`` when they cannot."""
        if self._public_address() or self.options.host not in network.EVERYWHERE:
            return self._address()
        near = network.address_in_network()
        return network.http_address(near, self.port) if near else self._address()

    def _outer(self, name: str) -> str:
        return os.environ.get(name, "").strip()

    def _log(self, name: str) -> Log:
        return Log(self.folder.logs / f"{name}.log", echo=name if self.options.logs else "")
