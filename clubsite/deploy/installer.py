"""Makes the virtual environment and fills it from the lock files, with progress and plain words.

Standard library alone: this runs before any package is there. pip does the
work under the user's own pip configuration, with every hash checked.
"""

from __future__ import annotations

import contextlib
import fcntl
import importlib.util
import os
import queue
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

from clubsite.deploy.environments import Environments, remove
from clubsite.deploy.progress_line import ProgressLine
from clubsite.deploy.virtual_environment import (
    FETCHING,
    MAKING,
    READY,
    RUNTIME_LOCK,
    UNPACKING,
    VirtualEnvironment,
    digest,
)

ENDING_SECONDS = 5.0
"""How long a child may take to end when it is asked to."""

_NETWORK = re.compile(
    r"name resolution|Name or service not known|nodename nor servname|NewConnectionError"
    r"|Connection refused|Connection reset|Network is unreachable|No route to host|ProxyError"
    r"|timed out|ConnectTimeout|ReadTimeout|SSLError|Max retries exceeded"
)


def set_up(environments: Environments, locks: list[str]) -> VirtualEnvironment:
    """Make an environment with all packages of ``locks``, beside the others; then use it.

    Args:
        environments: those of the checkout.
        locks: lock files by their path in the repository, in the order of installing.

    Raises:
        SystemExit: with a sentence that says what is missing and what to do; 130 when it was
            asked to end.
    """
    _require_venv_module()
    try:
        with _only_one(environments) as held:
            ready = environments.ready(locks)
            if ready is not None:
                return ready
            environment = environments.place_for(locks)
            _make(environments, environment, held)
            for lock in locks:
                _install(environments, environment, lock, held)
            _compile(environment, held)
            environment.note(phase=READY)
            environments.use(environment)
            return environment
    except KeyboardInterrupt:
        print("\nStopped. The same command goes on from here.", file=sys.stderr)
        raise SystemExit(130) from None
    except PermissionError as error:
        raise SystemExit(
            f"{error.filename} cannot be written. Within Eight keeps its packages in the folder "
            f"{environments.kept}: run this as the user who owns {environments.root}."
        ) from None


def _require_venv_module() -> None:
    missing = [name for name in ("venv", "ensurepip") if importlib.util.find_spec(name) is None]
    if missing:
        version = f"{sys.version_info[0]}.{sys.version_info[1]}"
        raise SystemExit(
            f"This Python has no module {' and no module '.join(missing)}, which makes the place "
            "for our packages.\nOn Debian or Ubuntu:  sudo apt install "
            f"python{version}-venv\nThen run this again."
        )


@contextlib.contextmanager
def _only_one(environments: Environments) -> Iterator[int]:
    """Hold the set-up's lock, waiting for another set-up to finish first; gives its descriptor."""
    with environments.lock_file.open("w") as handle:
        if not _got(handle):
            print("Another set-up of this folder is running. Waiting for it.", flush=True)
            # Asked again and again: a Ctrl-C that comes in the instant before a call that waits
            # would be heard when that call ends.
            while not _got(handle):
                time.sleep(0.1)
        yield handle.fileno()


def _got(handle: IO[str]) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


@contextlib.contextmanager
def _child(command: list[str], held: int, **how: Any) -> Iterator[subprocess.Popen[str]]:
    """A program that does not outlive its use, whatever ends that.

    It holds the set-up's lock as we do: were we killed, the next set-up would wait for its end.
    """
    child: subprocess.Popen[str] | None = None
    try:
        with _undisturbed():
            child = subprocess.Popen(
                command,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                errors="replace",
                pass_fds=(held,),
                start_new_session=True,
                **how,
            )
        yield child
    finally:
        if child is not None:
            _end(child)


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """Keep a wish to end until the block is over: a child cut off at its birth is nobody's."""
    wishes: list[int] = []
    before = {
        number: signal.signal(number, lambda number, _frame: wishes.append(number))
        for number in (signal.SIGINT, signal.SIGTERM)
    }
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    if wishes:
        raise KeyboardInterrupt


def _end(child: subprocess.Popen[str]) -> None:
    """End a program and what it started itself."""
    if child.poll() is None:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child.pid, signal.SIGTERM)
        with contextlib.suppress(subprocess.TimeoutExpired):
            child.wait(timeout=ENDING_SECONDS)
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(child.pid, signal.SIGKILL)
    child.wait()


def _make(environments: Environments, environment: VirtualEnvironment, held: int) -> None:
    """Make the folder unless a usable one is there."""
    phase = environment.state().get("phase")
    if environment.folder.exists():
        version = None if phase in (MAKING, UNPACKING) else _usable_version(environment)
        if version is not None:
            if phase == FETCHING:
                print("The last set-up was cut short. Taking it up again.", flush=True)
            environment.note(python=version)
            return
        if phase in (MAKING, UNPACKING):
            print("The last set-up was cut short. Taking it up again.", flush=True)
        else:
            print("The folder .venv cannot be used. Making it again.", flush=True)
        remove(environment.folder)
    elif environments.link.exists():
        print("The packages have changed. They are put in a folder of their own.", flush=True)
    else:
        print("Within Eight sets itself up in .venv. This happens once.", flush=True)
    environment.folder.mkdir(parents=True)
    environment.note(phase=MAKING, installed={})
    progress = ProgressLine("Python environment")
    command = [_base_python(), "-m", "venv", str(environment.folder)]
    with _child(command, held) as making:
        said = making.communicate()[0]
    version = _usable_version(environment) if making.returncode == 0 else None
    if version is None:
        progress.fail()
        detail = said.strip()
        if "ensurepip" in detail:
            detail = "On Debian or Ubuntu:  sudo apt install python3-venv"
        raise SystemExit(f"The folder {environment.folder} could not be made.\n{detail}")
    environment.note(phase=FETCHING, python=version)
    progress.done()


def _usable_version(environment: VirtualEnvironment) -> str | None:
    """The environment's Python as ``3.11``; None when it or its pip does not run."""
    code = "import pip, sys; print('%d.%d' % sys.version_info[:2])"
    try:
        run = subprocess.run(
            [str(environment.python), "-c", code],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return None
    version = run.stdout.strip()
    known = environment.state().get("python", version)
    if run.returncode or version != known or tuple(map(int, version.split("."))) < (3, 11):
        return None
    return version


def _base_python() -> str:
    """The Python outside any environment, also when this runs inside one."""
    return str(getattr(sys, "_base_executable", "") or sys.executable)


def _install(
    environments: Environments, environment: VirtualEnvironment, lock: str, held: int
) -> None:
    """Install one lock file; nothing is done when its packages are there already."""
    installed = environment.state().get("installed", {})
    due = digest(environment.root, lock)
    if installed.get(lock) == due:
        return
    names = set(re.findall(r"^([A-Za-z0-9_.-]+)==", (environment.root / lock).read_text(), re.M))
    label = "Packages" if lock == RUNTIME_LOCK else "Packages for the tests"
    progress = ProgressLine(label, total=len(names))
    environment.note(phase=FETCHING)
    command = [
        *(str(environment.python), "-m", "pip", "install", "--require-hashes"),
        *("--only-binary", ":all:", "--no-input", "--disable-pip-version-check"),
        *("--no-compile", "--progress-bar", "off", "-r", str(environment.root / lock)),
    ]
    # A personal "always install for the user" would be refused inside an environment.
    variables = {**os.environ, "PIP_USER": "0", "PYTHONUNBUFFERED": "1"}
    with (
        environments.log_file.open("w", encoding="utf-8") as log,
        _child(command, held, env=variables) as pip,
    ):
        lines = _follow(environment, pip, log, progress)
        pip.wait()
    if pip.returncode:
        progress.fail()
        raise SystemExit(_explain(lines, environments.log_file))
    environment.note(installed={**installed, lock: due})
    progress.done()


def _compile(environment: VirtualEnvironment, held: int) -> None:
    """Compile the packages' Python, on all cores: pip would do it on one, their tests with it.

    What does not compile is a package's example of bad code or of an old Python. It is left.
    """
    command = [
        *(str(environment.python), "-m", "compileall", "-q", "-j", "0", "-x", _TESTS),
        *map(str, environment.folder.glob("lib/python*/site-packages")),
    ]
    with _child(command, held) as compiling:
        compiling.communicate()


_TESTS = r"[/\\]tests[/\\]"


def _follow(
    environment: VirtualEnvironment,
    pip: subprocess.Popen[str],
    log: IO[str],
    progress: ProgressLine,
) -> list[str]:
    """Keep pip's lines in the log, show how far it is, and note when it begins to unpack."""
    assert pip.stdout is not None
    incoming: queue.Queue[str | None] = queue.Queue()

    def read(stream: IO[str]) -> None:
        for line in stream:
            incoming.put(line)
        incoming.put(None)

    threading.Thread(target=read, args=(pip.stdout,), daemon=True).start()
    lines: list[str] = []
    fetched = 0
    unpacked_before: int | None = None
    while True:
        try:
            line = incoming.get(timeout=0.5)
        except queue.Empty:
            if unpacked_before is not None:
                progress.at(_count_unpacked(environment) - unpacked_before, "unpacked")
            continue
        if line is None:
            return lines
        log.write(line)
        lines.append(line.rstrip())
        text = line.strip()
        if text.startswith(("Collecting ", "Processing ", "Requirement already satisfied")):
            fetched += 1
            progress.at(fetched, "fetched")
        elif text.startswith("Installing collected packages"):
            environment.note(phase=UNPACKING)
            unpacked_before = _count_unpacked(environment)
        elif "Retrying (" in text:
            progress.say("The package index does not answer. Trying again.")


def _count_unpacked(environment: VirtualEnvironment) -> int:
    return sum(1 for _ in environment.folder.glob("lib/python*/site-packages/*.dist-info"))


def _explain(lines: list[str], log: Path) -> str:
    """What a failed pip means, in plain words, and the way out."""
    text = "\n".join(lines)
    again = "Then run the same command again: it goes on from here."
    details = f"All that pip said is in {log}."
    if "DO NOT MATCH THE HASHES" in text:
        return (
            "A package that was fetched is not the one that the lock file names. Nothing of it was "
            f"installed.\nIf this stays so, ask whoever runs your package index. {details}"
        )
    if "No space left on device" in text:
        return f"The disk is full. About 700 MB are needed. {again}\n{details}"
    if _NETWORK.search(text):
        return (
            "The packages cannot be fetched: there is no network, or the package index does not "
            f"answer.\nConnect this machine, or set its proxy (HTTPS_PROXY). {again}\n{details}"
        )
    missing = re.search(r"No matching distribution found for (\S+)", text)
    if missing:
        return (
            f"There is no ready-made {missing.group(1)} for this Python and this machine. Within "
            "Eight runs with Python 3.11 to 3.13 on Linux (glibc) and macOS, on x86-64 and ARM.\n"
            + details
        )
    tail = "\n".join(f"  {line}" for line in lines[-5:])
    return f"The packages could not be installed. pip's last words:\n{tail}\n{details}"
