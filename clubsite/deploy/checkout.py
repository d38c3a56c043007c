"""The checkout that this site runs from: its folder and its commit."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def commit() -> str:
    """The commit of this checkout, shortened; empty when it is not a git checkout."""
    # Only a server asks: loading it would cost every other command some milliseconds.
    import subprocess

    try:
        run = subprocess.run(
            ["git", "rev-parse", "--short=12", "HEAD"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=5,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return ""
    return run.stdout.strip() if run.returncode == 0 else ""
