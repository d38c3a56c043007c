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
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from clubsite.deploy.progress_line import ProgressLine
from clubsite.deploy.virtual_environment import (
    FETCHING,
    MAKING,
    READY,
    RUNTIME_LOCK,
    UNPACKING,
    VirtualEnvironment,
)

_NETWORK = re.compile(
    r"name resolution|Name or service not known|nodename nor servname|NewConnectionError"
    r"|Connection refused|Connection reset|Network is unreachable|No route to host|ProxyError"
    r"|timed out|ConnectTimeout|ReadTimeout|SSLError|Max retries exceeded"
)


def set_up(environment: VirtualEnvironment, locks: list[str]) -> None:
    """Bring ``environment`` to the state that ``locks`` describe.

    Args:
        environment: the environment to make or mend.
        locks: lock files by their path in the repository, in the order of installing.

    Raises:
        SystemExit: with a sentence that says what is missing and what to do.
    """
    _require_venv_module()
    try:
        with _only_one(environment):
            if environment.is_ready(locks):
                return
            _make(environment)
            for lock in locks:
                _install(environment, lock)
            environment.note(phase=READY)
    except KeyboardInterrupt:
        raise SystemExit("\nStopped. The same command goes on from here.") from None
    except PermissionError as error:
        raise SystemExit(
            f"{error.filename} cannot be written. Within Eight keeps its packages in the folder "
            f"{environment.folder}: run this as the user who owns that folder."
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
def _only_one(environment: VirtualEnvironment) -> Iterator[None]:
    """Hold the set-up's lock, waiting for another set-up to finish first."""
    with environment.lock_file.open("w") as handle:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            print("Another set-up of this folder is running. Waiting for it.", flush=True)
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def _make(environment: VirtualEnvironment) -> None:
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
        _remove(environment.folder)
    else:
        print("Within Eight sets itself up in .venv. This happens once.", flush=True)
    environment.folder.mkdir()
    environment.note(phase=MAKING, installed={})
    progress = ProgressLine("Python environment")
    command = [_base_python(), "-m", "venv", str(environment.folder)]
    made = subprocess.run(command, capture_output=True, text=True, check=False)
    version = _usable_version(environment) if made.returncode == 0 else None
    if version is None:
        progress.fail()
        detail = (made.stdout + made.stderr).strip()
        if "ensurepip" in detail:
            detail = "On Debian or Ubuntu:  sudo apt install python3-venv"
        raise SystemExit(f"The folder .venv could not be made.\n{detail}")
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


def _remove(folder: Path) -> None:
    """Take the folder out of the way in one step, then delete it."""
    if folder.is_symlink():
        folder.unlink()
        return
    aside = folder.with_name(f"{folder.name}.old-{os.getpid()}")
    folder.rename(aside)
    shutil.rmtree(aside, ignore_errors=True)


def _install(environment: VirtualEnvironment, lock: str) -> None:
    """Install one lock file; nothing is done when its packages are there already."""
    installed = environment.state().get("installed", {})
    digest = environment.digest(lock)
    if installed.get(lock) == digest:
        return
    names = set(re.findall(r"^([A-Za-z0-9_.-]+)==", (environment.root / lock).read_text(), re.M))
    label = "Packages" if lock == RUNTIME_LOCK else "Packages for the tests"
    progress = ProgressLine(label, total=len(names))
    environment.note(phase=FETCHING)
    command = [
        *(str(environment.python), "-m", "pip", "install", "--require-hashes"),
        *("--only-binary", ":all:", "--no-input", "--disable-pip-version-check"),
        *("--progress-bar", "off", "-r", str(environment.root / lock)),
    ]
    # A personal "always install for the user" would be refused inside an environment.
    variables = {**os.environ, "PIP_USER": "0", "PYTHONUNBUFFERED": "1"}
    with (
        environment.log_file.open("w", encoding="utf-8") as log,
        subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            env=variables,
        ) as pip,
    ):
        lines = _follow(environment, pip, log, progress)
    if pip.returncode:
        progress.fail()
        raise SystemExit(_explain(lines, environment.log_file))
    environment.note(installed={**installed, lock: digest})
    progress.done()


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
