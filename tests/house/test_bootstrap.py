"""The way in: from a bare Python to a ready environment, by way of every accident.

All of it runs without a network: one tiny package of our own is the whole index.
"""

from __future__ import annotations

import ast
import hashlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from clubsite import bootstrap
from clubsite.deploy import installer
from tests.house.checkout import BASE_PYTHON, ROOT, Checkout, share_pip


@pytest.fixture(scope="module")
def finished(tmp_path_factory: pytest.TempPathFactory) -> Checkout:
    """A checkout that has set itself up; for looking at, and for copies."""
    made = Checkout(tmp_path_factory.mktemp("checkout") / "one")
    said = made.shows("1.0")
    assert said.splitlines()[0] == "Within Eight sets itself up in .venv. This happens once."
    assert "Packages: done" in said
    share_pip(made.environment, made.folder / "pip")
    return made


@pytest.fixture
def checkout(finished: Checkout, empty: Path, tmp_path: Path) -> Checkout:
    """A copy of the finished checkout, for a test to spoil."""
    return finished.copy(tmp_path / "copy", empty)


def test_the_second_time_nothing_is_said_or_done(finished: Checkout) -> None:
    before = finished.state_file.stat().st_mtime_ns
    log = (finished.folder / ".venv.log").stat().st_mtime_ns
    assert len(finished.shows("1.0").splitlines()) == 1
    assert finished.state_file.stat().st_mtime_ns == before
    assert (finished.folder / ".venv.log").stat().st_mtime_ns == log


def test_the_state_tells_python_and_lock(finished: Checkout) -> None:
    state = finished.state()
    assert state["python"] == "{}.{}".format(*sys.version_info[:2])
    lock = (finished.folder / "requirements.lock").read_bytes()
    assert state["installed"] == {"requirements.lock": hashlib.sha256(lock).hexdigest()}


def test_packages_are_compiled_and_their_tests_are_not(checkout: Checkout) -> None:
    checkout.lock("2.0")
    checkout.shows("2.0", PYTHONDONTWRITEBYTECODE="1")
    (site,) = checkout.environment.glob("lib/python*/site-packages")
    made = {path.name.partition(".")[0] for path in site.rglob("*.pyc")}
    assert {"lantern", "lantern_oil"} <= made
    assert (site / "lantern_oil" / "tests" / "lit.py").exists()
    assert "lit" not in made


def test_a_changed_lock_is_installed(checkout: Checkout) -> None:
    checkout.lock("2.0")
    assert "Packages: done" in checkout.shows("2.0")


def test_tests_bring_their_own_packages(checkout: Checkout) -> None:
    done = checkout.run("test")
    assert done.returncode == 0
    assert "Packages for the tests: done" in done.stdout
    assert set(checkout.state()["installed"]) == {"requirements.lock", "tests/requirements.lock"}


def test_an_environment_whose_python_is_gone_is_made_again(checkout: Checkout) -> None:
    for name in ("python", "python3", Path(BASE_PYTHON).name):
        (checkout.environment / "bin" / name).unlink(missing_ok=True)
        (checkout.environment / "bin" / name).symlink_to("/nowhere/python")
    said = checkout.shows("1.0")
    assert "The folder .venv cannot be used. Making it again." in said
    assert checkout.kept == [checkout.environment]


def test_a_set_up_cut_off_while_unpacking_is_made_again(checkout: Checkout) -> None:
    """A package of which only a part was written: pip itself would take it for whole."""
    site = next(checkout.environment.glob("lib/python*/site-packages"))
    (site / "lantern.py").unlink()
    checkout.state_file.write_text(json.dumps({"phase": "unpacking", "python": "3.11"}))
    assert "The last set-up was cut short. Taking it up again." in checkout.shows("1.0")


def test_a_set_up_cut_off_while_fetching_goes_on(checkout: Checkout) -> None:
    state = checkout.state()
    checkout.state_file.write_text(json.dumps({**state, "phase": "fetching", "installed": {}}))
    marker = checkout.environment / "the-same-folder"
    marker.touch()
    assert "Taking it up again." in checkout.shows("1.0")
    assert marker.exists()


def test_a_kill_in_the_midst_of_it_is_got_over(
    finished: Checkout, empty: Path, tmp_path: Path
) -> None:
    """For real: the set-up and its pip are killed, then the same command is given again."""
    checkout = finished.copy(tmp_path / "copy", empty)
    checkout.empty = None  # The module ``venv`` makes it: that takes long enough to be killed.
    shutil.rmtree(checkout.folder / ".venv.d")
    process = subprocess.Popen(
        [BASE_PYTHON, "manage.py", "show"],
        cwd=checkout.folder,
        env=checkout.environ,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    until = time.monotonic() + 60
    while not checkout.state_file.exists() and time.monotonic() < until:
        time.sleep(0.01)
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    assert checkout.state()["phase"] == "making"
    checkout.empty = empty
    assert "Taking it up again." in checkout.shows("1.0")


def test_two_at_once_make_one_environment(checkout: Checkout) -> None:
    checkout.lock("2.0")
    processes = [
        subprocess.Popen(
            [BASE_PYTHON, "manage.py", "show"],
            cwd=checkout.folder,
            env=checkout.environ,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        for _ in range(3)
    ]
    outputs = [process.communicate(timeout=120)[0] for process in processes]
    assert [process.returncode for process in processes] == [0, 0, 0], outputs
    assert sum("Packages: done" in output for output in outputs) == 1
    assert all(output.splitlines()[-1].startswith("2.0 ") for output in outputs)


def test_without_a_network_it_says_so(checkout: Checkout) -> None:
    checkout.lock("2.0")
    done = checkout.run(
        PIP_NO_INDEX="0",
        PIP_FIND_LINKS="",
        # Nothing listens on the discard port (RFC 863) of this machine.
        PIP_INDEX_URL="http://127.0.0.1:9/simple",
        PIP_RETRIES="1",
        PIP_TIMEOUT="2",
    )
    assert done.returncode == 1
    assert "there is no network, or the package index does not answer" in done.stderr
    assert "The package index does not answer. Trying again." in done.stdout
    assert str(checkout.folder / ".venv.log") in done.stderr
    assert "Traceback" not in done.stderr


def test_a_package_that_was_tampered_with_is_refused(checkout: Checkout) -> None:
    checkout.lock("2.0")
    with (checkout.index / "lantern-2.0-py3-none-any.whl").open("ab") as wheel:
        wheel.write(b"something else")
    done = checkout.run()
    assert done.returncode == 1
    assert "is not the one that the lock file names" in done.stderr


def test_a_package_that_nobody_built_for_this_machine(checkout: Checkout) -> None:
    (checkout.folder / "requirements.lock").write_text(
        f"lighthouse==1.0 --hash=sha256:{'0' * 64}\n"
    )
    done = checkout.run()
    assert done.returncode == 1
    assert "no ready-made lighthouse==1.0 for this Python and this machine" in done.stderr


def test_a_pip_that_always_installs_for_the_user_is_no_hindrance(checkout: Checkout) -> None:
    checkout.lock("2.0")
    checkout.shows("2.0", PIP_USER="1")


def test_it_can_be_told_to_leave_python_alone(checkout: Checkout) -> None:
    shutil.rmtree(checkout.folder / ".venv.d")
    done = checkout.run(WITHIN_EIGHT_SETUP="off", PYTHONPATH=str(checkout.index))
    assert not (checkout.folder / ".venv.d").exists()
    assert "No module named 'lantern'" in done.stderr


@pytest.mark.parametrize("module", ["venv", "ensurepip"])
def test_a_python_without_venv_is_told_of(module: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Debian and Ubuntu ship ``venv`` and ``ensurepip`` in a package of their own."""
    real: Callable[[str], object] = installer.importlib.util.find_spec
    monkeypatch.setattr(
        installer.importlib.util, "find_spec", lambda name: None if name == module else real(name)
    )
    with pytest.raises(SystemExit, match=f"no module {module}") as caught:
        installer._require_venv_module()
    assert "sudo apt install python3." in str(caught.value)


def test_windows_is_pointed_to_wsl(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WITHIN_EIGHT_SETUP", raising=False)
    monkeypatch.setattr(sys, "platform", "win32")
    with pytest.raises(SystemExit, match="WSL"):
        bootstrap.enter(["manage.py", "demo"])


def test_an_old_python_can_read_the_way_in_and_is_told_what_it_needs(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    source = (ROOT / "manage.py").read_text()
    ast.parse(source, feature_version=(3, 4))
    assert not [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.JoinedStr)]
    names: dict[str, object] = {"__name__": "manage"}
    exec(compile(source, "manage.py", "exec"), names)
    monkeypatch.setattr(sys, "version_info", (3, 9, 18, "final", 0))
    monkeypatch.setattr(sys, "argv", ["manage.py", "demo"])
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer\. This is Python 3\.9\.18"):
        names["main"]()  # type: ignore[operator]
    (tmp_path / "python3.12").touch(mode=0o755)
    with pytest.raises(SystemExit, match=r"run  python3\.12 manage\.py demo"):
        names["main"]()  # type: ignore[operator]


def test_the_way_in_needs_the_standard_library_alone() -> None:
    """Without site-packages (``-S``) and without the user's folder (``-I``)."""
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r})\n"
        "from clubsite import bootstrap\n"
        "from clubsite.deploy import installer, backups, data_folder, restoring\n"
        "from clubsite.deploy import serving, supervisor, watcher\n"
        "outside = [m for m in sys.modules if m.split('.')[0] not in sys.stdlib_module_names]\n"
        "print(sorted({m.split('.')[0] for m in outside} - {'__main__'}))\n"
        "print(sorted(m for m in outside if m.startswith('training')))\n"
    )
    done = subprocess.run(
        [BASE_PYTHON, "-I", "-S", "-c", code], capture_output=True, text=True, check=True
    )
    # Ours alone; of the club no more than for how long what is kept, which copies have to know.
    assert done.stdout.splitlines() == [
        "['clubsite', 'training']",
        "['training', 'training.retention']",
    ]


def test_no_package_index_is_named_anywhere() -> None:
    """Where packages come from is the user's own configuration."""
    for path in (ROOT / "manage.py", *(ROOT / "clubsite").rglob("*.py"), *ROOT.glob("*.lock")):
        text = path.read_text()
        assert not re.search(r"--[a-z-]*(url|links)", text), path
        assert "http" not in text or path.suffix != ".lock", path
