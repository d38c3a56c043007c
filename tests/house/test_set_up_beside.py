"""A new environment is made beside those in use; a set-up that is ended ends all that it began."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from clubsite.deploy.environments import Environments
from clubsite.deploy.virtual_environment import VirtualEnvironment
from tests.house.checkout import BASE_PYTHON, Checkout

# A club that runs: it has come by our door, has loaded nothing yet, and does so when it is told to.
WAITS = """
def run(argv):
    print("open", flush=True)
    input()
    import lantern
    print(lantern.LIGHT, flush=True)
    return 0
"""


@pytest.fixture(scope="module")
def finished(tmp_path_factory: pytest.TempPathFactory, empty: Path) -> Checkout:
    made = Checkout(tmp_path_factory.mktemp("beside") / "one", empty)
    made.shows("1.0")
    return made


@pytest.fixture
def checkout(finished: Checkout, empty: Path, tmp_path: Path) -> Checkout:
    return finished.copy(tmp_path / "copy", empty)


@pytest.fixture
def running(checkout: Checkout) -> Iterator[subprocess.Popen[str]]:
    """A club that runs from the environment of now."""
    commands = checkout.folder / "clubsite" / "deploy" / "commands.py"
    shows = commands.read_text()
    commands.write_text(WAITS)
    process = start(checkout, "serve", stdin=subprocess.PIPE)
    assert process.stdout is not None
    assert process.stdout.readline() == "open\n"
    commands.write_text(shows)
    yield process
    process.kill()
    process.communicate()


def start(
    checkout: Checkout, *words: str, stdin: int = subprocess.DEVNULL, **changes: str
) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [BASE_PYTHON, "manage.py", *words],
        cwd=checkout.folder,
        env={**checkout.environ, **changes},
        stdin=stdin,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def files(folder: Path) -> dict[str, int]:
    """All that an environment holds, but for what Python compiles as it runs."""
    return {
        str(path.relative_to(folder)): path.lstat().st_mtime_ns
        for path in folder.rglob("*")
        if "__pycache__" not in path.parts
    }


def test_one_in_use_is_not_touched(checkout: Checkout, running: subprocess.Popen[str]) -> None:
    used = checkout.environment
    before = files(used)
    checkout.lock("2.0")
    assert "They are put in a folder of their own." in checkout.shows("2.0")
    second = checkout.environment
    assert second != used
    assert files(used) == before
    # Two changes later it is no longer the one before, and stays for whoever runs from it.
    checkout.lock("3.0")
    checkout.shows("3.0")
    assert files(used) == before
    assert set(checkout.kept) == {used, second, checkout.environment}
    assert running.communicate("\n", timeout=60)[0] == "1.0\n"
    # The way back needs no fetching, and what nobody needs any more is removed at the next change.
    checkout.lock("2.0")
    assert len(checkout.shows("2.0").splitlines()) == 1
    checkout.lock("4.0")
    checkout.shows("4.0")
    assert used not in checkout.kept
    assert len(checkout.kept) == 2


def test_the_tests_packages_go_beside(checkout: Checkout) -> None:
    used = checkout.environment
    before = files(used)
    assert checkout.run("test").returncode == 0
    assert checkout.environment.name.startswith("test-")
    assert files(used) == before


def test_a_folder_of_an_older_version_in_use_stays(checkout: Checkout) -> None:
    """Until now ``.venv`` was the folder itself, and who runs from it holds no lock."""
    old = checkout.folder / ".venv"
    environment = checkout.environment
    old.unlink()
    environment.rename(old)
    assert checkout.run().returncode == 0, "its packages are right: it serves on"
    module = next(old.glob("lib/python*/site-packages")) / "loaded.so"
    shutil.copy(next(Path("/usr/lib").rglob("libc.so.6")), module)
    loaded = subprocess.Popen(
        [
            *(str(old / "bin" / "python"), "-c"),
            f"import ctypes; ctypes.CDLL({str(module)!r}); print('open', flush=True); input()",
        ],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert loaded.stdout is not None
        assert loaded.stdout.readline() == "open\n"
        checkout.lock("2.0")
        done = checkout.run()
        assert f"{old} is in use and stays as it is" in done.stdout
        assert done.stdout.splitlines()[-1].startswith("2.0 ")
        assert module.exists()
    finally:
        loaded.communicate("\n", timeout=60)
    checkout.lock("3.0")
    checkout.shows("3.0")
    assert old.is_symlink()


# Ended in the midst of it ----------------------------------------------------------


@pytest.fixture
def silent_index() -> Iterator[str]:
    """A package index that takes a request and never answers."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield f"http://127.0.0.1:{server.getsockname()[1]}/simple"


def of_checkout(checkout: Checkout) -> list[str]:
    """The command lines of all processes that have to do with it."""
    found = []
    for process in Path("/proc").iterdir():
        if process.name.isdigit() and int(process.name) != os.getpid():
            try:
                line = (process / "cmdline").read_bytes().replace(b"\0", b" ").decode()
                where = str((process / "cwd").readlink())
            except OSError:
                continue
            if str(checkout.folder) in line or where == str(checkout.folder):
                found.append(line)
    return found


def wait(condition: Callable[[], bool]) -> None:
    until = time.monotonic() + 60
    while not condition():
        assert time.monotonic() < until
        time.sleep(0.01)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_ended_at_any_stage_it_leaves_no_process_and_the_next_start_works(
    finished: Checkout, empty: Path, tmp_path: Path, silent_index: str, number: signal.Signals
) -> None:
    checkout = finished.copy(tmp_path / "copy", empty)
    checkout.lock("2.0")
    environments = Environments(checkout.folder)

    def phase() -> object:
        places = sorted(checkout.kept, key=lambda one: one.stat().st_ctime)
        return VirtualEnvironment(checkout.folder, places[-1]).state().get("phase")

    def ends(process: subprocess.Popen[str]) -> str:
        process.send_signal(number)
        said = process.communicate(timeout=30)[0]
        assert process.returncode == 130, said
        assert "Traceback" not in said
        assert of_checkout(checkout) == []
        return said

    # While the folder is made, by the module ``venv`` itself, which takes a while.
    checkout.empty = None
    making = start(checkout, "demo")
    # Its phase is looked at last: to find its processes takes a while, in which it goes on.
    wait(lambda: len(of_checkout(checkout)) > 1 and phase() == "making")
    assert "Stopped. The same command goes on from here." in ends(making)
    checkout.empty = empty
    # While another set-up is waited for.
    with environments.lock_file.open("w") as held:
        import fcntl

        fcntl.flock(held, fcntl.LOCK_EX)
        waiting = start(checkout, "test")
        assert waiting.stdout is not None
        assert "Waiting for it." in waiting.stdout.readline()
        ends(waiting)
    # While pip waits for an index that does not answer.
    fetching = start(
        checkout, "serve", PIP_NO_INDEX="0", PIP_FIND_LINKS="", PIP_INDEX_URL=silent_index
    )
    wait(lambda: phase() == "fetching" and any(" pip " in one for one in of_checkout(checkout)))
    ends(fetching)
    # The one in use was never in question, and the next start goes on.
    assert checkout.shows("2.0")
    assert json.loads(checkout.state_file.read_text())["phase"] == "ready"


def test_killed_without_a_word_its_pip_is_waited_for(checkout: Checkout, silent_index: str) -> None:
    checkout.lock("2.0")
    killed = start(
        checkout, "serve", PIP_NO_INDEX="0", PIP_FIND_LINKS="", PIP_INDEX_URL=silent_index,
        PIP_TIMEOUT="3", PIP_RETRIES="0",
    )  # fmt: skip
    wait(lambda: any(" pip " in one for one in of_checkout(checkout)))
    killed.kill()
    killed.wait()
    done = checkout.run()
    assert "Another set-up of this folder is running. Waiting for it." in done.stdout
    assert done.stdout.splitlines()[-1].startswith("2.0 ")
    killed.communicate()
