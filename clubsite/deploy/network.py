"""Where the site listens, and how others find it."""

from __future__ import annotations

import errno
import socket

EVERYWHERE = {"0.0.0.0": "127.0.0.1", "::": "::1"}  # noqa: S104 - asked for by an option
"""Addresses that mean *all of this machine's*, and how this machine itself reaches them."""


class CannotListen(Exception):
    """The address cannot be had; the text says why and what to do."""


def listen(host: str, port: int, command: str) -> socket.socket:
    """A socket that listens on ``host`` and ``port`` (0: any free one), for the web process.

    It is kept while web processes come and go, so that nobody is refused while one of them is
    started again.

    Raises:
        CannotListen: when the address is taken, forbidden or not of this machine.
    """
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    except socket.gaierror:
        raise CannotListen(f"{host!r} is no address of this machine.") from None
    family, kind, protocol, _, address = found[0]
    server = socket.socket(family, kind, protocol)
    server.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        server.bind(address)
        # Bound alone would not yet keep a second program from taking the same port.
        server.listen(128)
    except OSError as error:
        server.close()
        raise CannotListen(_reason(error, host, port, command)) from None
    return server


def _reason(error: OSError, host: str, port: int, command: str) -> str:
    if error.errno == errno.EADDRINUSE:
        free = next_free_port(host, port)
        advice = f"Choose another:  {command} --port {free}" if free else "Choose another port."
        return f"Port {port} is taken by another program. {advice}"
    if error.errno == errno.EACCES:
        return (
            f"Port {port} is for the system alone. Choose one from 1024 on:  {command} --port 8008"
        )
    if error.errno == errno.EADDRNOTAVAIL:
        return f"{host} is no address of this machine. For every device near by:  {command} --lan"
    return f"{host} port {port} cannot be used: {error.strerror}."


def next_free_port(host: str, port: int) -> int | None:
    """The first free port of the twenty after ``port``."""
    for candidate in range(port + 1, min(port + 21, 65536)):
        try:
            with socket.create_server((host, candidate)):
                return candidate
        except OSError:
            continue
    return None


def address_in_network() -> str | None:
    """This machine's address towards other machines; nothing is sent to find it."""
    for family, elsewhere in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((elsewhere, 9))
                found = str(probe.getsockname()[0])
        except OSError:
            continue
        if not found.startswith("127.") and found != "::1":
            return found
    return None


def http_address(host: str, port: int) -> str:
    """``http://host:port``, with the brackets that an IPv6 address needs."""
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def host_names(host: str) -> list[str]:
    """The names under which a browser may ask for a site that listens on ``host``."""
    names = ["localhost", "127.0.0.1", "[::1]"]
    own = socket.gethostname().lower()
    if host in EVERYWHERE:
        names += [own, own.split(".")[0] + ".local"]
        near = address_in_network()
        if near:
            names.append(f"[{near}]" if ":" in near else near)
    else:
        names.append(f"[{host}]" if ":" in host else host)
    return list(dict.fromkeys(names))


def qr_code(text: str, *, colours: bool = False) -> str:
    """``text`` as a QR code made of block characters, for a terminal.

    The blocks are the light parts, so they must be lighter than what is behind them:
    with ``colours`` that is said to the terminal, whatever its own background.
    """
    import io

    import segno

    out = io.StringIO()
    segno.make(text, error="m").terminal(out, compact=True)
    lines = out.getvalue().rstrip("\n").split("\n")
    return "\n".join(f"\x1b[97;40m{line}\x1b[0m" if colours else line for line in lines)
