"""A folder that sets itself up from a tiny index of our own, without a network."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
BASE_PYTHON = str(getattr(sys, "_base_executable", sys.executable))
SET_UP = (
    "__init__.py",
    "bootstrap.py",
    "deploy/__init__.py",
    "deploy/checkout.py",
    "deploy/environments.py",
    "deploy/installer.py",
    "deploy/progress_line.py",
    "deploy/terminal.py",
    "deploy/virtual_environment.py",
)
"""All that the set-up consists of."""
MADE_BEFORE = """
import os, shutil, sys
shutil.copytree(os.environ["MADE_BEFORE"], sys.argv[1], symlinks=True, dirs_exist_ok=True)
"""
"""In the place of the module ``venv``: a copy of what it has made once, which takes longer."""
SHOW = "import lantern, sys; print(lantern.LIGHT, sys.prefix)"


def make_empty(folder: Path) -> Path:
    """An environment as the module ``venv`` makes it, whose copies are light: all have one pip."""
    subprocess.run([BASE_PYTHON, "-m", "venv", str(folder)], check=True, capture_output=True)
    share_pip(folder, folder.with_name("pip"))
    return folder


def share_pip(environment: Path, place: Path) -> None:
    """Put the environment's pip, its hundreds of files, in a place for its copies too."""
    (own,) = environment.glob("lib/python*/site-packages/pip")
    shutil.move(own, place)
    own.symlink_to(place)


def make_wheel(folder: Path, version: str) -> str:
    """A wheel of the package ``lantern`` (PEP 427); returns its line for a lock file."""
    name = f"lantern-{version}-py3-none-any.whl"
    info = f"lantern-{version}.dist-info"
    files = {
        "lantern.py": f"LIGHT = {version!r}\n",
        "lantern_oil/lantern_oil.py": "",
        "lantern_oil/tests/lit.py": "",
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: lantern\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        f"{info}/RECORD": "",
    }
    with zipfile.ZipFile(folder / name, "w") as wheel:
        for path, text in files.items():
            # Without a date of its own, for a wheel made a moment later would be another one.
            wheel.writestr(zipfile.ZipInfo(path), text)
    digest = hashlib.sha256((folder / name).read_bytes()).hexdigest()
    return f"lantern=={version} --hash=sha256:{digest}\n"


class Checkout:
    """A folder with what a fresh clone needs to set itself up, and its own tiny index.

    Args:
        folder: where it is made.
        empty: an environment as the module ``venv`` makes it. With one, that module is not asked
            again: each new environment of this checkout begins as a copy.
    """

    def __init__(self, folder: Path, empty: Path | None = None) -> None:
        self.folder = folder
        self.empty = empty
        self.index = folder / "index"
        self.index.mkdir(parents=True)
        (folder / "tests").mkdir()
        shutil.copy(ROOT / "manage.py", folder)
        (folder / "clubsite" / "deploy").mkdir(parents=True)
        for name in SET_UP:
            shutil.copy(ROOT / "clubsite" / name, folder / "clubsite" / name)
        # In the place of the real commands: tell what was installed, and where this runs.
        (folder / "clubsite" / "deploy" / "commands.py").write_text(
            f"def run(argv):\n    {SHOW}\n    return 0\n"
        )
        if empty is not None:
            (folder / "instead").mkdir()
            (folder / "instead" / "venv.py").write_text(MADE_BEFORE)
        self.lock("1.0")

    def lock(self, version: str) -> None:
        (self.folder / "requirements.lock").write_text(make_wheel(self.index, version))
        (self.folder / "tests" / "requirements.lock").write_text(make_wheel(self.index, version))

    @property
    def environ(self) -> dict[str, str]:
        kept = {n: v for n, v in os.environ.items() if not n.startswith(("PIP_", "WITHIN_EIGHT_"))}
        if self.empty is not None:
            kept["PYTHONPATH"] = str(self.folder / "instead")
            kept["MADE_BEFORE"] = str(self.empty)
        return {
            **kept,
            "PIP_NO_INDEX": "1",
            "PIP_FIND_LINKS": str(self.index),
            "PIP_CONFIG_FILE": os.devnull,
            "PYTHONUNBUFFERED": "1",
        }

    def run(self, *words: str, **changes: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [BASE_PYTHON, "manage.py", *(words or ("show",))],
            cwd=self.folder,
            env={**self.environ, **changes},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )

    def shows(self, version: str, **changes: str) -> str:
        """Run a command: it must end inside the environment with that version there."""
        done = self.run(**changes)
        assert done.returncode == 0, done.stdout + done.stderr
        assert done.stdout.splitlines()[-1] == f"{version} {self.environment}"
        return done.stdout

    @property
    def environment(self) -> Path:
        """The folder that ``.venv`` names."""
        return (self.folder / ".venv").resolve()

    @property
    def kept(self) -> list[Path]:
        """All environments."""
        return sorted((self.folder / ".venv.d").iterdir())

    @property
    def state_file(self) -> Path:
        return self.environment / "within-eight.json"

    def copy(self, folder: Path, empty: Path | None = None) -> Checkout:
        """Another one like it, for a test to spoil; ``empty`` as for a new one."""
        made = Checkout(folder, empty)
        shutil.copytree(self.folder / ".venv.d", folder / ".venv.d", symlinks=True)
        shutil.copy(self.folder / ".venv", folder / ".venv", follow_symlinks=False)
        return made

    def state(self) -> dict[str, object]:
        found: dict[str, object] = json.loads(self.state_file.read_text())
        return found
