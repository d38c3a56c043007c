"""The environment variables that the settings read, for a machine where nobody set any.

Two readers need them: a management command run by hand (``complete``) and the programs
of a server (``for_server``). A variable that is set already always wins; what is missing
comes from the data folder.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Mapping, MutableMapping
from pathlib import Path

from clubsite.deploy.data_folder import data_path, keep_secret, read_secret, running_broker

SETTINGS = "clubsite.settings.base"


def cache_path() -> Path:
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
    data = data_path(argv)
    environ["WITHIN_EIGHT_DATA"] = str(data)
    environ["WITHIN_EIGHT_CACHE"] = str(cache_path())
    environ.setdefault("DJANGO_SETTINGS_MODULE", SETTINGS)
    if not environ.get("SECRET_KEY"):
        environ["SECRET_KEY"] = read_secret(data) or secrets.token_urlsafe(48)
    if not environ.get("REDIS_URL") and (broker := running_broker(data)):
        environ["REDIS_URL"] = broker


def for_server(
    data: Path,
    *,
    demo: bool,
    broker_url: str,
    hosts: list[str],
    address: str = "",
    outside: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """All variables of every program of a server; what the operator has set stays.

    Args:
        data: the data folder; its secret is made at the first call.
        demo: whether this is the demo club, which never touches an operator's database.
        broker_url: the broker's address.
        hosts: names under which a browser may ask.
        address: the site's own address behind a proxy, or nothing.
        outside: the operator's variables (the process's own unless given).
    """
    outer = dict(os.environ if outside is None else outside)
    if demo:
        for name in ("DATABASE_URL", "SECRET_KEY", "SECURE", "NUM_PROXIES"):
            outer.pop(name, None)
    secure = address.startswith("https://")
    allowed = [name for name in outer.get("ALLOWED_HOSTS", "").split(",") if name] + hosts
    if address:
        allowed.append(_host_of(address))
        outer.setdefault("CSRF_TRUSTED_ORIGINS", address)
        outer.setdefault("NUM_PROXIES", "1")
    if secure:
        outer.setdefault("SECURE", "1")
        # The proxy speaks https with the world; inside, phones of the same network may not.
        outer.setdefault("SECURE_REDIRECT", "1")
    outer.setdefault("SECRET_KEY", keep_secret(data))
    outer.setdefault("LOG_LEVEL", "INFO")
    return {
        **outer,
        "DJANGO_SETTINGS_MODULE": SETTINGS,
        "WITHIN_EIGHT_DATA": str(data),
        "WITHIN_EIGHT_CACHE": str(cache_path()),
        "REDIS_URL": broker_url,
        "ALLOWED_HOSTS": ",".join(dict.fromkeys(allowed)),
        "DEMO": "1" if demo else "0",
        "PYTHONUNBUFFERED": "1",
        # What they write is read by us, whatever the operator's terminal can show.
        "PYTHONIOENCODING": "utf-8",
        "NUMBA_NUM_THREADS": "1",
    }


def _host_of(address: str) -> str:
    return address.split("://", 1)[1].rsplit("@", 1)[-1].split(":")[0]
