"""``docker-compose.yml`` is whole, holds no secret, and says the same as the rest of the house."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
import yaml

from clubsite.deploy import programs

ROOT = Path(__file__).parents[2]
FILE = ROOT / "docker-compose.yml"
DOCKERFILE = (ROOT / "clubsite/deploy/Dockerfile").read_text()
WRITTEN = {
    "SECRET_KEY": "0123456789" * 5,
    "DATABASE_PASSWORD": "wooden7boats",
    "SITE_HOST": "club.example",
}
SITE_SERVICES = ("migrate", "catchup", "web", "worker", "beat")
ONCE = ("migrate", "catchup")
PROXY = ROOT / "clubsite/deploy/compose.proxy.yml"


@pytest.fixture(scope="module")
def file() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(FILE.read_text())
    return found


def compose(*files: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    """Run Debian's docker-compose, which needs no engine to check a file."""
    program = shutil.which("docker-compose")
    if program is None:
        pytest.skip("docker-compose is not installed (Debian: apt-get install docker-compose)")
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return subprocess.run(
        [program, *(f"--file={one}" for one in files or (FILE,)), "config"],
        cwd=ROOT,
        env={**kept, **variables},
        capture_output=True,
        text=True,
        check=False,
    )


def test_compose_itself_accepts_it() -> None:
    done = compose(**WRITTEN)
    assert done.returncode == 0, done.stderr
    found = yaml.safe_load(done.stdout)
    assert set(found["services"]) == {*SITE_SERVICES, "db", "redis"}
    assert found["services"]["web"]["environment"]["ALLOWED_HOSTS"] == "club.example,localhost"


def test_two_web_processes_fight_for_no_port_and_no_name() -> None:
    """Nothing after PORT= leaves the port on the machine open; a range has one for each."""
    for port, published in (("", "127.0.0.1::8008/tcp"), ("8008-8009", "8008-8009")):
        done = compose(FILE, PROXY, **WRITTEN, PORT=port)
        assert done.returncode == 0, done.stderr
        found = yaml.safe_load(done.stdout)["services"]
        assert str(found["web"]["ports"][0]).startswith("127.0.0.1:")
        assert published in str(found["web"]["ports"])
    assert not [name for name, one in found.items() if "container_name" in one]
    assert found["proxy"]["command"][-1] == "web:8008"
    assert found["proxy"]["command"][3] == "club.example"


def test_images_are_named_by_what_they_are_and_logs_are_bounded(file: dict[str, Any]) -> None:
    both = {**file["services"], **yaml.safe_load(PROXY.read_text())["services"]}
    for name, service in both.items():
        assert service["logging"]["options"] == {"max-size": "10m", "max-file": "3"}, name
        if name not in SITE_SERVICES:
            assert re.fullmatch(r"[a-z]+:[\w.-]+@sha256:[0-9a-f]{64}", service["image"]), name
    assert re.search(r"^FROM python:[\w.-]+@sha256:[0-9a-f]{64}$", DOCKERFILE, re.M)


def test_secrets_get_neither_into_git_nor_into_the_image() -> None:
    for ignored in (".gitignore", ".dockerignore"):
        assert {".env", ".env.*"} <= set((ROOT / ignored).read_text().splitlines()), ignored


@pytest.mark.parametrize("name", sorted(WRITTEN))
def test_compose_refuses_when_a_secret_or_the_name_is_missing(name: str) -> None:
    done = compose(**{key: value for key, value in WRITTEN.items() if key != name})
    assert done.returncode != 0
    assert ".env" in done.stderr


def test_no_secret_has_a_default(file: dict[str, Any]) -> None:
    for name, service in file["services"].items():
        for variable, value in service.get("environment", {}).items():
            for secret in ("SECRET_KEY", "DATABASE_PASSWORD"):
                for use in re.findall(rf"\$\{{{secret}[^}}]*\}}", value):
                    assert use.startswith(f"${{{secret}:?"), f"{name}: {variable}"
            if "SECRET" in variable or "PASSWORD" in variable:
                assert value.startswith("${"), f"{name}: {variable} is written down"


def test_every_service_is_watched_and_comes_back(file: dict[str, Any]) -> None:
    for name, service in file["services"].items():
        if name in ONCE:
            assert service["restart"] == "no"
            continue
        assert service["restart"] == "unless-stopped", name
        assert service["healthcheck"]["test"][0] == "CMD", name
    for name in ("web", "worker", "beat"):
        needs = file["services"][name]["depends_on"]
        assert needs["migrate"]["condition"] == "service_completed_successfully"
        assert needs["redis"]["condition"] == "service_healthy"
    assert file["services"]["migrate"]["depends_on"]["db"]["condition"] == "service_healthy"


def test_what_must_last_is_in_a_volume(file: dict[str, Any]) -> None:
    mounted = {
        name: {volume.split(":")[1] for volume in service.get("volumes", [])}
        for name, service in file["services"].items()
    }
    assert mounted["db"] == {"/var/lib/postgresql"}
    assert all(mounted[name] == {"/data", "/cache"} for name in SITE_SERVICES)
    used = {v.split(":")[0] for s in file["services"].values() for v in s.get("volumes", [])}
    assert used == set(file["volumes"])


def test_only_the_web_process_is_reached_and_only_from_this_machine(file: dict[str, Any]) -> None:
    ports = {name: s["ports"] for name, s in file["services"].items() if "ports" in s}
    assert ports == {"web": ["127.0.0.1:${PORT-8008}:8008"]}


def test_its_commands_are_those_that_serve_runs(file: dict[str, Any]) -> None:
    """Worker and clock differ in nothing; the web process in where it listens."""

    def words(program: programs.Program) -> list[str]:
        assert program.command[1] == "-m"
        return ["python", *program.command[1:]]

    services = file["services"]
    assert services["worker"]["command"] == words(programs.worker())
    assert services["beat"]["command"] == words(programs.clock())
    web = list(programs.web(7).command)
    assert web[-1] == "fd://7"
    assert services["web"]["command"] == ["python", *web[1:-1], "0.0.0.0:8008"]
    # One after the other: the database's shape, then the new solver's caches.
    shell, flag, line = services["migrate"]["command"]
    assert (shell, flag) == ("sh", "-c")
    assert line.split(" && ") == ["python manage.py prepare", "python manage.py warmup"]


def test_the_broker_keeps_to_the_rules_of_a_bell(file: dict[str, Any]) -> None:
    words = file["services"]["redis"]["command"]
    flags = dict(zip(words[1::2], words[2::2], strict=True))
    assert flags["--save"] == ""
    assert flags["--maxmemory-policy"] == "noeviction"


def test_the_image_has_what_the_services_need(file: dict[str, Any]) -> None:
    build = file["services"]["web"]["build"]
    assert (ROOT / build["context"] / build["dockerfile"]).exists()
    ignored = {line.strip() for line in (ROOT / ".dockerignore").read_text().splitlines()}
    copied = [
        source
        for line in re.findall(r"^COPY (.+) \S+$", DOCKERFILE, re.M)
        for source in line.split()
    ]
    for source in copied:
        assert (ROOT / source).exists(), source
        assert source not in ignored
    assert {"clubsite", "training", "solverworker", "manage.py", "requirements.lock"} <= set(copied)
    # As a user of its own, with folders that it may write.
    assert re.search(r"^USER club$", DOCKERFILE, re.M)
    assert "chown club:club /data /cache" in DOCKERFILE
    assert "--require-hashes" in DOCKERFILE
    assert "WITHIN_EIGHT_SETUP=off" in DOCKERFILE


def test_the_image_starts_the_same_web_process() -> None:
    line = re.search(r"^CMD (\[.*\])$", DOCKERFILE, re.M)
    assert line is not None
    assert json.loads(line[1]) == ["python", *programs.web(7).command[1:-1], "0.0.0.0:8008"]
