"""Every service of ``docker-compose.yml``, run by its own command against real servers."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from clubsite.deploy.programs import Program
from clubsite.deploy.variables import cache_path
from tests.stack.servers import NamedPostgres, Postgres, Valkey, wait_for
from tests.stack.site import ROOT, Site

ANSWERS = {
    "SECRET_KEY": "a-secret-of-the-tests-" + "0123456789" * 4,
    "DATABASE_PASSWORD": "wooden7boats",
    "SITE_HOST": "club.example",
}
"""What an operator writes into ``.env``."""


def filled_in(text: str) -> str:
    """A value with its variables replaced, by the rules of the compose specification."""

    def value(match: re.Match[str]) -> str:
        name, kind, rest = match["name"], match["kind"] or "", match["rest"] or ""
        if name in ANSWERS:
            return ANSWERS[name]
        assert kind == ":-", f"{name} has neither an answer nor a default: {rest}"
        return rest

    return re.sub(r"\$\{(?P<name>\w+)(?:(?P<kind>:[-?])(?P<rest>[^}]*))?\}", value, text)


@pytest.fixture
def services() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load((ROOT / "docker-compose.yml").read_text())["services"]
    return found


@pytest.fixture
def composed(
    folder: Path,
    postgres: Postgres | NamedPostgres,
    postgres_url: str,
    broker: Valkey,
    services: dict[str, Any],
) -> Iterator[Site]:
    """A site with the environment of the services; only addresses and folders differ."""
    made = Site(folder, database_url=postgres_url, broker_url=broker.url)
    made.environ = {
        "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}",
        "HOME": str(folder),
        **image_environment(),
        **{name: filled_in(text) for name, text in services["web"]["environment"].items()},
        "WITHIN_EIGHT_DATA": str(folder),
        "WITHIN_EIGHT_CACHE": str(cache_path()),
        "DATABASE_URL": postgres_url,
        "REDIS_URL": broker.url,
    }
    # What a proxy before the site adds.
    made.headers = {"Host": "club.example", "X-Forwarded-Proto": "https"}
    yield made
    made.close()


def image_environment() -> dict[str, str]:
    """The variables that the image sets."""
    text = (ROOT / "clubsite/deploy/Dockerfile").read_text().replace("\\\n", " ")
    line = re.search(r"^ENV (.*)$", text, re.M)
    assert line is not None
    return dict(word.split("=", 1) for word in line[1].split())


def command_of(services: dict[str, Any], name: str, port: int) -> tuple[str, ...]:
    words = [
        word.replace("0.0.0.0:8008", f"127.0.0.1:{port}") for word in services[name]["command"]
    ]
    return tuple(words)


def test_all_services_together_check_a_plan(composed: Site, services: dict[str, Any]) -> None:
    composed.run(list(command_of(services, "migrate", 0)))
    set_id = composed.drive("make")["set_id"]
    # The port is ours until the service itself listens on it.
    composed._listener.close()
    composed.start_program(Program("web", command_of(services, "web", composed.port), 1, 5.0))
    composed.wait_until_open()
    # Its health check is not fooled by pages alone: nobody checks plans yet.
    ask = ["python", "-m", "clubsite.deploy.healthcheck", f"127.0.0.1:{composed.port}"]
    composed.run([*ask, "database"])
    for name in ("worker", "clock"):
        with pytest.raises(AssertionError):
            composed.run([*ask, name])

    for name in ("worker", "beat"):
        composed.start_program(Program(name, command_of(services, name, composed.port), 1, 5.0))
    token = composed.sign_in("ines")
    assert composed.hand_in(token, set_id, 1, "D' R'")[0] == 201
    assert composed.verdict(token, set_id, 1)["report"]["excess"] == 0

    for name in ("web", "worker", "beat"):
        check = services[name]["healthcheck"]["test"]
        assert check[0] == "CMD"
        words = [
            re.sub(r"^(web|localhost):8008$", f"127.0.0.1:{composed.port}", w) for w in check[1:]
        ]

        def healthy(words: list[str] = words) -> bool:
            try:
                composed.run(words)
            except AssertionError:
                return False
            return True

        wait_for(healthy, f"{name} is healthy", 40, every=0.5)
