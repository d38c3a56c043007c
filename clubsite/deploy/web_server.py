"""The web process: one process, eight threads, one server wherever the site runs.

    python -m clubsite.deploy.web_server --bind 127.0.0.1:8008

``--bind fd://7`` takes a socket that the supervisor keeps open. SIGTERM and Ctrl-C end it after
the answers under way.
"""

from __future__ import annotations

import argparse
import logging
import resource
import signal
import socket
import sys
from types import FrameType

from clubsite.deploy.connections import MOST, WebServer

FILES_BESIDE = 100
"""Open files besides connections: databases, logs, pages on their way out."""


def listener(address: str) -> socket.socket:
    """The socket that ``address`` (``host:port`` or ``fd://number``) names.

    Raises:
        OSError: when it cannot be had.
    """
    if address.startswith("fd://"):
        return socket.socket(fileno=int(address.removeprefix("fd://")))
    host, _, port = address.rpartition(":")
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    return socket.create_server((host.strip("[]"), int(port)), family=family)


def places() -> int:
    """How many connections may be open at once: as many as this process may have files open."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = MOST + FILES_BESIDE
    if soft != resource.RLIM_INFINITY and soft < wanted:
        soft = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
    if soft == resource.RLIM_INFINITY:
        return MOST
    return max(10, min(MOST, soft - FILES_BESIDE))


def main(arguments: list[str]) -> int:
    """Serve until asked to end; returns the exit status."""
    parser = argparse.ArgumentParser(prog="web_server", description=__doc__.split("\n")[0])
    parser.add_argument("--bind", default="127.0.0.1:8008", metavar="HOST:PORT")
    options = parser.parse_args(arguments)
    try:
        door = listener(options.bind)
    except (OSError, ValueError) as error:
        print(f"It cannot listen at {options.bind}: {error}.", file=sys.stderr)
        return 1
    from django.conf import settings
    from django.core.exceptions import ImproperlyConfigured
    from django.db import connections

    try:
        from clubsite.wsgi import application
    except ImproperlyConfigured as mistake:
        print(mistake, file=sys.stderr)
        return 2
    from training import dispatch

    # How many wait for a thread at one moment is no news.
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    server = WebServer(
        application,
        door,
        proxies=settings.NUM_PROXIES,
        most=places(),
        at_end_of_thread=connections.close_all,
    )

    def end(number: int, frame: FrameType | None) -> None:
        server.end()

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, end)
    dispatch.gather()
    server.run()
    door.close()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
