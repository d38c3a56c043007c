"""Sends a message to an address that somebody wrote, and to nothing that is not on the open net.

A server can reach what its visitors cannot: itself, its neighbours, its provider's metadata. So
the name is resolved here, every address that it has must be a public one, and the connection is
made to the very address that was looked at: a name that means another machine a moment later
changes nothing. Nothing is followed, and of the answer only the status is read.
"""

from __future__ import annotations

import contextlib
import ipaddress
import socket
import ssl
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from urllib.parse import SplitResult, urlsplit

from django.utils.translation import gettext_noop

SECONDS = 10.0
"""How long one message may take in all, from the connection to the status."""

LONGEST_STATUS = 1024

Resolver = Callable[[str, int], list[str]]
"""All addresses of a host."""

_NO_ADDRESS = gettext_noop("This is no address. Write one that begins with https://")
_NOT_HTTPS = gettext_noop("The address has to begin with https://")
_WITH_NAME = gettext_noop("Leave out name and password before the host.")
_NOT_PUBLIC = gettext_noop("This address is not on the open net: it is private or the server’s.")
_UNKNOWN = gettext_noop("The host of this address is not known.")
_TOO_SLOW = gettext_noop("It took too long.")
_NO_CONNECTION = gettext_noop("No connection could be made.")
_NO_CERTIFICATE = gettext_noop("The certificate of the host is not valid for it.")
_NO_ANSWER = gettext_noop("What came back is no answer of a web server.")

# Behind these an IPv4 address is reached by way of IPv6: RFC 4291 (mapped, compatible), RFC 6052
# (NAT64), RFC 3056 (6to4), RFC 4380 (Teredo).
_NAT64 = ipaddress.ip_network("64:ff9b::/96")
_NAT64_LOCAL = ipaddress.ip_network("64:ff9b:1::/48")
_COMPATIBLE = ipaddress.ip_network("::/96")


class NotSent(Exception):
    """Nothing was sent, or nothing came back; the words say why."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where a message goes: parts of the address that somebody wrote."""

    host: str
    port: int
    path: str


def target_of(address: str) -> Target:
    """Take an address apart. Raises NotSent for one to which nothing is sent, whoever it is.

    >>> target_of("https://example.org:8443/hook?a=b")
    Target(host='example.org', port=8443, path='/hook?a=b')
    """
    if not address.isascii() or any(c <= " " or c == "\x7f" for c in address):
        raise NotSent(_NO_ADDRESS)
    try:
        parts: SplitResult = urlsplit(address)
        port = parts.port or 443
    except ValueError:
        raise NotSent(_NO_ADDRESS) from None
    if parts.scheme != "https":
        raise NotSent(_NOT_HTTPS)
    if parts.username is not None or parts.password is not None:
        raise NotSent(_WITH_NAME)
    if not parts.hostname or "%" in parts.hostname:
        raise NotSent(_NO_ADDRESS)
    path = parts.path or "/"
    return Target(parts.hostname, port, f"{path}?{parts.query}" if parts.query else path)


def is_public(address: str) -> bool:
    """Whether an IP address is on the open net, whichever way it is written.

    >>> [is_public(one) for one in ("93.184.216.34", "10.0.0.1", "::1", "::ffff:127.0.0.1")]
    [True, False, False, False]
    """
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return False
    if isinstance(found, ipaddress.IPv6Address):
        inside = _inside(found)
        if inside is not None:
            return is_public(str(inside))
        if found in _NAT64_LOCAL or found.is_site_local:
            return False
    return found.is_global and not (found.is_multicast or found.is_reserved or found.is_unspecified)


def _inside(found: ipaddress.IPv6Address) -> ipaddress.IPv4Address | None:
    """The IPv4 address that an IPv6 one stands for."""
    if found.ipv4_mapped is not None:
        return found.ipv4_mapped
    if found.sixtofour is not None:
        return found.sixtofour
    if found.teredo is not None:
        return found.teredo[1]
    if found in _NAT64 or (found in _COMPATIBLE and int(found) > 1):
        return ipaddress.IPv4Address(int(found) & 0xFFFFFFFF)
    return None


def resolve(host: str, port: int) -> list[str]:
    """All addresses of a host, as this machine knows them. Raises NotSent for none."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        raise NotSent(_UNKNOWN) from None
    return list(dict.fromkeys(str(one[4][0]) for one in found))


def checked_address(target: Target, resolver: Resolver = resolve) -> str:
    """The address to connect to. Raises NotSent unless every one of the host's is public."""
    addresses = resolver(target.host, target.port)
    if not addresses:
        raise NotSent(_UNKNOWN)
    if not all(is_public(one) for one in addresses):
        raise NotSent(_NOT_PUBLIC)
    return addresses[0]


def send(
    address: str,
    body: bytes,
    headers: Mapping[str, str],
    *,
    resolver: Resolver = resolve,
    context: ssl.SSLContext | None = None,
    seconds: float = SECONDS,
) -> int:
    """POST ``body`` and return the status of the answer. Raises NotSent.

    ``context``: whose certificates are believed; those of the machine by default.
    """
    target = target_of(address)
    checked = checked_address(target, resolver)
    ends = time.monotonic() + seconds
    context = context or ssl.create_default_context()
    try:
        with (
            socket.create_connection((checked, target.port), timeout=_left(ends)) as plain,
            context.wrap_socket(plain, server_hostname=target.host) as line,
        ):
            line.settimeout(_left(ends))
            line.sendall(_request(target, body, headers))
            return _status(line, ends)
    except TimeoutError:
        raise NotSent(_TOO_SLOW) from None
    except ssl.SSLCertVerificationError:
        raise NotSent(_NO_CERTIFICATE) from None
    except OSError:
        raise NotSent(_NO_CONNECTION) from None


def _left(ends: float) -> float:
    left = ends - time.monotonic()
    if left <= 0:
        raise TimeoutError
    return left


def _request(target: Target, body: bytes, headers: Mapping[str, str]) -> bytes:
    named = f"[{target.host}]" if ":" in target.host else target.host
    host = named if target.port == 443 else f"{named}:{target.port}"
    lines = [
        f"POST {target.path} HTTP/1.1",
        f"Host: {host}",
        "Connection: close",
        f"Content-Length: {len(body)}",
        *(f"{name}: {value}" for name, value in headers.items()),
    ]
    return "\r\n".join([*lines, "", ""]).encode("ascii") + body


def _status(line: socket.socket, ends: float) -> int:
    """The status of an answer: its first line, and nothing after it (RFC 9112, section 4)."""
    came = b""
    while b"\n" not in came and len(came) < LONGEST_STATUS:
        line.settimeout(_left(ends))
        piece = line.recv(LONGEST_STATUS)
        if not piece:
            break
        came += piece
    words = came.split(b"\n", 1)[0].split(None, 2)
    with contextlib.suppress(IndexError, ValueError):
        if words[0].startswith(b"HTTP/1.") and len(words[1]) == 3:
            return int(words[1])
    raise NotSent(_NO_ANSWER)
