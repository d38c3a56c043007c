"""Where everything has to run, a test that is skipped fails the run."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FILES = {
    "skips": "import pytest\n\ndef test_it():\n    pytest.skip('no browser')\n",
    "is_marked": "import pytest\n\n@pytest.mark.skip(reason='no browser')\ndef test_it(): ...\n",
    "is_skipped_whole": ("import pytest\n\npytest.skip('no browser', allow_module_level=True)\n"),
    "fixture_skips": (
        "import pytest\n\n@pytest.fixture\ndef it():\n    pytest.skip('no browser')\n\n"
        "def test_it(it): ...\n"
    ),
    "is_expected": "import pytest\n\n@pytest.mark.xfail\ndef test_it():\n    assert False\n",
}


@pytest.mark.parametrize("workers", [0, 2])
def test_every_kind_of_skip_is_a_failure_there(tmp_path: Path, workers: int) -> None:
    for name, text in FILES.items():
        (tmp_path / f"test_{name}.py").write_text(text)
    done = subprocess.run(
        [
            *(
                sys.executable,
                "-m",
                "pytest",
                *("-p", "xdist", "-p", "tests.no_skips"),
                "--continue-on-collection-errors",
            ),
            *("-p", "no:cacheprovider", "-c", "/dev/null"),
            *("-n", str(workers), "--rootdir", str(tmp_path), str(tmp_path)),
        ],
        cwd=ROOT,
        # Nothing but what runs tests side by side: to load all plugins takes longer than the tests.
        env={**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert done.stdout.count("Skipped where nothing may be left out") >= 4, done.stdout
    closing = done.stdout.splitlines()[-1]
    # Before the test itself it counts as an error; an expected failure stays what it is.
    assert "1 failed, 1 xfailed, 3 errors" in closing, done.stdout
