"""The options of ``serve`` and ``demo``."""

from __future__ import annotations

import argparse
from urllib.parse import urlsplit

from clubsite.deploy.data_folder import PORT


def parser(*, demo: bool) -> argparse.ArgumentParser:
    """The command line of ``demo`` or of ``serve``."""
    name = "demo" if demo else "serve"
    made = argparse.ArgumentParser(
        prog=f"manage.py {name}",
        description=(
            "Serve a demo club of our own invention, to look around in."
            if demo
            else "Serve a club from a data folder: web pages, checker and clock together."
        ),
    )
    add_to(made, demo=demo)
    return made


def add_to(made: argparse.ArgumentParser, *, demo: bool) -> None:
    """Add the options to a parser, ours or a management command's."""
    usual = "~/.local/share/within-eight" + ("-demo" if demo else "")
    made.add_argument("--data", metavar="FOLDER", help=f"the data folder (usually {usual})")
    made.add_argument("--port", type=_port, default=PORT, help=f"the port (usually {PORT})")
    made.add_argument(
        "--host", default="127.0.0.1", help="the address to listen at (usually this machine only)"
    )
    made.add_argument(
        "--lan",
        action="store_true",
        help="listen for phones and computers in the same network, and print a QR code for them",
    )
    made.add_argument("--logs", action="store_true", help="show what every process writes")
    made.add_argument("--no-input", action="store_true", help="never ask anything")
    if demo:
        made.add_argument("--fresh", action="store_true", help="make the demo club again")
    else:
        made.add_argument(
            "--address",
            metavar="URL",
            type=site_address,
            help="the site's own address behind a proxy, such as https://club.example",
        )


def _port(text: str) -> int:
    if not text.isdigit() or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is no port: write a number from 0 to 65535")
    return int(text)


def site_address(text: str) -> str:
    """Read a site's own address, for an option of a command line."""
    url = urlsplit(text)
    if url.scheme not in {"http", "https"} or not url.hostname or url.path.strip("/"):
        raise argparse.ArgumentTypeError(
            f"{text!r} is no address of a site: write it like https://club.example"
        )
    return f"{url.scheme}://{url.netloc}"
