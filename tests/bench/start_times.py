"""How long from `python3 manage.py demo` to the first page: from a fresh clone, and again.

    python -m tests.bench.start_times

The clone is of the last commit. pip's cache is filled first by another clone, as it
is on a machine that has set the site up before; nothing else is warm: no
environment, no compiled code, no demo club.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from tests.bench.timing import median_seconds, show
from tests.stack.servers import free_port

ROOT = Path(__file__).parents[2]
PYTHON = str(getattr(sys, "_base_executable", sys.executable))
AGAIN = 5


def clone(folder: Path) -> Path:
    """A fresh clone of the last commit."""
    subprocess.run(["git", "clone", "--quiet", str(ROOT), str(folder)], check=True)
    return folder


def environ(home: Path) -> dict[str, str]:
    """Somebody who has set nothing, with folders of their own; pip's cache stays where it is."""
    kept = {n: v for n, v in os.environ.items() if not n.startswith("WITHIN_EIGHT_")}
    return {
        **kept,
        "XDG_DATA_HOME": str(home / "data"),
        "WITHIN_EIGHT_CACHE": str(home / "cache"),
        "PYTHONUNBUFFERED": "1",
    }


def seconds_to_first_page(checkout: Path, variables: dict[str, str]) -> float:
    """Start the demo, wait for its first page, end it."""
    port = free_port()
    began = time.perf_counter()
    with subprocess.Popen(
        [PYTHON, "manage.py", "demo", "--no-input", "--port", str(port)],
        cwd=checkout,
        env=variables,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
    ) as process:
        while not answers(port):
            assert process.poll() is None, "the demo ended"
            time.sleep(0.02)
        found = time.perf_counter() - began
        process.send_signal(signal.SIGINT)
        process.wait(timeout=60)
    return found


def answers(port: int) -> bool:
    """Whether the first page is there."""
    url = f"http://127.0.0.1:{port}/"
    with contextlib.suppress(OSError), urllib.request.urlopen(url, timeout=5) as page:
        return bool(page.status == 200)
    return False


def overhead(checkout: Path, variables: dict[str, str]) -> float:
    """What the set-up's check adds to a command that needs no set-up, in seconds."""
    inside = str(checkout / ".venv" / "bin" / "python")

    def run(python: str, **changes: str) -> float:
        def once() -> None:
            subprocess.run(
                [python, "manage.py", "restore", "--help"],
                cwd=checkout,
                env={**variables, **changes},
                stdout=subprocess.DEVNULL,
                check=True,
            )

        return median_seconds(once, 15)

    return run(PYTHON) - run(inside, WITHIN_EIGHT_SETUP="off")


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory(prefix="we-bench-") as name:
        home = Path(name)
        variables = environ(home)
        before = clone(home / "before")
        subprocess.run(
            [PYTHON, "manage.py", "restore"],
            cwd=before,
            env=variables,
            capture_output=True,
            check=False,
        )
        checkout = clone(home / "checkout")
        first = seconds_to_first_page(checkout, variables)
        again = median_seconds(lambda: seconds_to_first_page(checkout, variables), 1)
        starts = sorted(seconds_to_first_page(checkout, variables) for _ in range(AGAIN))
        show(
            [
                ("demo, first start, fresh clone", f"{first:.0f} s"),
                ("demo, second start", f"median {starts[AGAIN // 2]:.1f} s"),
                ("  and its end", f"{again - starts[AGAIN // 2]:.1f} s"),
                ("set-up's check before a command", f"{overhead(checkout, variables):.3f} s"),
            ]
        )


if __name__ == "__main__":
    main()
