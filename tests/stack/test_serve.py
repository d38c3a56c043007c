"""``serve`` for a real club: first start, second start, a second server, the end, and accidents."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from clubsite.deploy.backups import write_copy
from tests.stack.servers import wait_for
from tests.stack.serving import Serving, assert_gone, get, manage


@pytest.fixture
def serving(folder: Path) -> Iterator[list[Serving]]:
    """Servers of a test; what is still running at its end is ended."""
    started: list[Serving] = []
    yield started
    for one in started:
        one.close()


def test_from_the_first_start_to_the_last_end(folder: Path, serving: list[Serving]) -> None:
    data = folder / "club"
    first = Serving(data)
    serving.append(first)
    address = first.wait_until_open()
    assert get(address + "/")[0] == 200

    # Secrets are made, and nobody else on this machine reads them.
    assert stat.S_IMODE(data.stat().st_mode) == 0o700
    assert stat.S_IMODE((data / "secrets.json").stat().st_mode) == 0o600
    assert len(json.loads((data / "secrets.json").read_text())["SECRET_KEY"]) >= 50

    # The owner's link is printed and opens.
    links = re.findall(rf"{address}/start/\S+", first.text)
    assert len(links) == 1
    assert get(links[0])[0] == 200

    # A second server on the same folder refuses and disturbs nothing.
    for command in ("serve", "demo"):
        second = manage(command, "--data", str(data), "--port", "0")
        assert second.returncode == 1
        assert f"is being served already, at {address}" in second.stderr

    # Ctrl-C ends all of it in order.
    family = first.family()
    # Janitor, broker, worker, clock and web process; the worker has its own.
    assert len(family) >= 5
    first.send(signal.SIGINT)
    assert first.wait() == 0
    assert first.lines[-1] == "Everything has ended."
    assert_gone(family)
    assert not (data / "run.json").exists()

    # The link is not printed again; a command makes it again, and the old one is dead.
    # This time phones in the same network are let in: the address is printed, and as a code.
    again = Serving(data, "--lan")
    serving.append(again)
    address = again.wait_until_open()
    near = re.search(r"(http://\S+)   for phones", again.text)
    if near is not None:
        assert get(near[1] + "/")[0] == 200
        assert "▄" in again.text
    assert "Pass phrases travel in clear to that address" in again.text
    assert "in clear" not in first.text
    assert "/start/" not in again.text
    assert "manage.py ownerlink" in again.text
    told = manage("ownerlink", "--data", str(data)).stdout
    fresh = re.search(rf"{address}/start/\S+", told)
    assert fresh is not None
    assert get(fresh[0])[0] == 200
    old = links[0].rpartition("/start/")[2]
    assert old not in fresh[0]
    with pytest.raises(OSError, match="HTTP Error 4"):
        get(f"{address}/start/{old}")

    # The demo does not take a real club's folder for its own.
    again.send(signal.SIGTERM)
    assert again.wait() == 0
    refused = manage("demo", "--data", str(data), "--fresh", "--no-input")
    assert refused.returncode == 1
    assert "holds a real club" in refused.stderr
    assert (data / "club.sqlite3").exists()


def test_killed_programs_come_back_and_a_killed_supervisor_leaves_no_orphan(
    folder: Path, serving: list[Serving], migrated_file: Path
) -> None:
    data = folder / "club"
    data.mkdir()
    write_copy(migrated_file, data / "club.sqlite3")
    one = Serving(data)
    serving.append(one)
    address = one.wait_until_open()
    for mark, title in (("valkey", "broker"), ("celery", "worker"), ("web_server", "web process")):
        before = one.child(mark)
        os.kill(before, signal.SIGKILL)
        one.wait_for_line(f"The {title} ended (signal 9)")

        def another(mark: str = mark, before: int = before) -> bool:
            return one.child(mark) not in (0, before)

        wait_for(another, f"another {title}")
    assert get(address + "/")[0] == 200

    # A janitor that was killed before is replaced, and the new one knows the family.
    before = one.child("janitor")
    os.kill(before, signal.SIGKILL)
    wait_for(lambda: one.child("janitor") not in (0, before), "another janitor")
    family = one.family()
    one.send(signal.SIGKILL)
    one.wait()
    # At once again: the new one waits until the last of the old has gone.
    again = Serving(data)
    serving.append(again)
    again.wait_until_open()
    assert_gone(family, seconds=1.0)


def test_a_port_that_is_taken(folder: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        refused = manage("serve", "--data", str(folder / "club"), "--port", str(port))
    assert refused.returncode == 1
    assert f"Port {port} is taken by another program." in refused.stderr
    assert "--port" in refused.stderr
