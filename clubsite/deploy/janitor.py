"""Ends what a supervisor started when the supervisor itself was killed.

Run as a program of its own. It reads lines from standard input: ``+ PID RANK``
for a process group that was started, ``- PID`` for one that has ended, ``end``
when the supervisor has stopped everything itself. When the input ends without
that word the supervisor is gone: every group still noted is asked to end, from
the highest rank to the lowest, and killed if it does not.

It works the same on Linux and macOS, reaches the children of children, and keeps the data
folder's lock (an inherited file) until the last group is gone.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import time
from collections.abc import Iterable
from pathlib import Path

PATIENCE_SECONDS = 5.0
_PROC = Path("/proc/")


def watch(lines: Iterable[str], patience: float = PATIENCE_SECONDS) -> None:
    """Follow ``lines`` to their end, then end what is left."""
    ranks: dict[int, int] = {}
    for line in lines:
        words = line.split()
        if words[:1] == ["end"]:
            return
        if words[:1] == ["+"] and len(words) == 3:
            ranks[int(words[1])] = int(words[2])
        elif words[:1] == ["-"] and len(words) == 2:
            ranks.pop(int(words[1]), None)
    for group in sorted(ranks, key=lambda group: -ranks[group]):
        end_group(group, patience)


def end_group(group: int, patience: float) -> None:
    """Ask the leader to end, wait for the whole group, then kill what is left of it."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.kill(group, signal.SIGTERM)
    until = time.monotonic() + patience
    while time.monotonic() < until:
        if not group_lives(group):
            return
        time.sleep(0.05)
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(group, signal.SIGKILL)


def group_lives(group: int) -> bool:
    """Whether any process of the group is left, not counting those that are dead already.

    In a container nobody may collect the dead: they keep their place in the group for ever.
    """
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return not _PROC.is_dir() or any(
        state not in "ZX" for state, of in _all_states() if of == group
    )


def process_lives(pid: int) -> bool:
    """Whether the process is there and not dead already."""
    if pid <= 0:
        return False
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    found = _state_and_group(str(pid))
    return found is None or found[0] not in "ZX"


def _all_states() -> Iterable[tuple[str, int]]:
    for entry in _PROC.iterdir():
        if entry.name.isdigit() and (found := _state_and_group(entry.name)) is not None:
            yield found


def _state_and_group(pid: str) -> tuple[str, int] | None:
    """State letter and process group, as Linux tells them (proc(5), ``/proc/pid/stat``)."""
    try:
        text = (_PROC / pid / "stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return None
    # The second field is the name in brackets and may hold anything.
    words = text.rpartition(")")[2].split()
    return (words[0], int(words[2])) if len(words) > 2 else None


if __name__ == "__main__":
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, signal.SIG_IGN)
    watch(sys.stdin)
