"""An environment without packages, made once for all that set themselves up here."""

from __future__ import annotations

from pathlib import Path

import pytest
from filelock import FileLock

from tests.house.checkout import make_empty


@pytest.fixture(scope="session")
def empty(of_this_run: Path) -> Path:
    """An environment as the module ``venv`` makes it; for copies."""
    made = of_this_run / "empty" / "environment"
    with FileLock(of_this_run / "empty.lock"):
        if not made.exists():
            make_empty(made)
    return made
