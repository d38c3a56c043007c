"""A data folder is private, is used by one server at a time, and is never mistaken for another."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from clubsite.deploy import programs
from clubsite.deploy.data_folder import CLUB, DEMO, DataFolder, InUse, data_path, keep_secret
from clubsite.deploy.variables import complete, for_server

ROOT = Path(__file__).parents[2]


@pytest.fixture
def club(tmp_path: Path) -> Iterator[DataFolder]:
    folder = DataFolder(tmp_path / "club", CLUB)
    folder.claim()
    yield folder
    folder.release()


def test_it_is_made_for_this_user_alone(club: DataFolder) -> None:
    assert stat.S_IMODE(club.path.stat().st_mode) == 0o700
    for name in ("secrets.json", "folder.json", "lock"):
        assert stat.S_IMODE((club.path / name).stat().st_mode) == 0o600


def test_secrets_are_long_differ_and_stay(tmp_path: Path) -> None:
    made = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        made.append(keep_secret(tmp_path / name))
        assert keep_secret(tmp_path / name) == made[-1]
    assert made[0] != made[1]
    assert min(map(len, made)) >= 50


def test_a_secret_that_others_could_read_is_closed_again(club: DataFolder) -> None:
    (club.path / "secrets.json").chmod(0o644)
    keep_secret(club.path)
    assert stat.S_IMODE((club.path / "secrets.json").stat().st_mode) == 0o600


def test_a_second_server_is_told_where_the_first_one_is(club: DataFolder) -> None:
    club.note_current_run("http://127.0.0.1:8008", "redis+socket:///tmp/x?virtual_host=0")
    with pytest.raises(InUse, match=r"served already, at http://127\.0\.0\.1:8008"):
        DataFolder(club.path, CLUB).claim(patience=5.0)


def test_the_lock_of_a_killed_server_is_no_hindrance(tmp_path: Path) -> None:
    code = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from clubsite.deploy.data_folder import CLUB, DataFolder\n"
        "folder = DataFolder(Path(sys.argv[1]), CLUB)\n"
        "folder.claim()\n"
        "folder.note_current_run('http://127.0.0.1:8008', '')\n"
        "os.kill(os.getpid(), 9)\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "club")], cwd=ROOT, check=False
    )
    assert run.returncode == -9
    folder = DataFolder(tmp_path / "club", CLUB)
    folder.claim(patience=0)
    folder.release()


def test_a_demo_and_a_club_are_never_mixed_up(club: DataFolder, tmp_path: Path) -> None:
    club.release()
    with pytest.raises(InUse, match="holds a real club"):
        DataFolder(club.path, DEMO).claim()
    demo = DataFolder(tmp_path / "demo", DEMO)
    demo.claim()
    demo.release()
    with pytest.raises(InUse, match="holds the demo club"):
        DataFolder(tmp_path / "demo", CLUB).claim()


def test_a_folder_of_somebody_else_s_files_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    tmp_path.chmod(0o755)
    with pytest.raises(InUse, match="holds other files"):
        DataFolder(tmp_path, CLUB).claim()
    assert [entry.name for entry in tmp_path.iterdir()] == ["thesis.txt"]
    assert stat.S_IMODE(tmp_path.stat().st_mode) == 0o755


def test_a_folder_with_only_a_database_put_back_is_taken(tmp_path: Path) -> None:
    (tmp_path / "club.sqlite3").write_bytes(b"")
    folder = DataFolder(tmp_path, CLUB)
    folder.claim()
    folder.release()


def test_only_a_demo_is_ever_emptied(club: DataFolder, tmp_path: Path) -> None:
    club.database.write_bytes(b"precious")
    with pytest.raises(ValueError, match="not a demo"):
        club.empty()
    assert club.database.read_bytes() == b"precious"

    demo = DataFolder(tmp_path / "demo", DEMO)
    demo.claim()
    demo.database.write_bytes(b"invented")
    demo.backups.mkdir()
    demo.note(filled="2026-11-25")
    secret = keep_secret(demo.path)
    demo.empty()
    assert not demo.database.exists()
    assert not demo.backups.exists()
    assert demo.noted() == {"kind": DEMO}
    assert keep_secret(demo.path) != secret
    demo.release()


def test_where_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification: XDG_DATA_HOME, or ~/.local/share."""
    monkeypatch.delenv("WITHIN_EIGHT_DATA", raising=False)
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    monkeypatch.setenv("HOME", "/home/kari")
    assert data_path([]) == Path("/home/kari/.local/share/within-eight")
    assert data_path([], demo=True) == Path("/home/kari/.local/share/within-eight-demo")
    monkeypatch.setenv("XDG_DATA_HOME", "/srv/data")
    assert data_path([]) == Path("/srv/data/within-eight")
    monkeypatch.setenv("WITHIN_EIGHT_DATA", "/srv/club")
    assert data_path([]) == Path("/srv/club")
    assert data_path(["backup", "--data", "/srv/other"]) == Path("/srv/other")
    assert data_path(["backup", "--data=~/own"]) == Path("/home/kari/own")


def test_it_lies_outside_the_repository(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("WITHIN_EIGHT_DATA", raising=False)
    assert ROOT not in data_path([]).parents


def test_a_command_by_hand_uses_the_folder_s_secret_and_running_broker(club: DataFolder) -> None:
    club.note_current_run("http://127.0.0.1:8008", "redis+socket:///run/x.sock?virtual_host=0")
    variables: dict[str, str] = {}
    complete(variables, ["manage.py", "shell", "--data", str(club.path)])
    kept = json.loads((club.path / "secrets.json").read_text())["SECRET_KEY"]
    assert variables["SECRET_KEY"] == kept
    assert variables["REDIS_URL"] == "redis+socket:///run/x.sock?virtual_host=0"
    assert variables["WITHIN_EIGHT_DATA"] == str(club.path)


def test_a_command_without_a_folder_makes_none(tmp_path: Path) -> None:
    variables: dict[str, str] = {}
    complete(variables, ["manage.py", "solve", "--data", str(tmp_path / "none")])
    assert len(variables["SECRET_KEY"]) >= 50
    assert not (tmp_path / "none").exists()


def test_what_the_operator_has_set_wins(club: DataFolder) -> None:
    outside = {"DATABASE_URL": "postgresql://x/y", "SECRET_KEY": "z" * 50, "LOG_LEVEL": "DEBUG"}
    made = for_server(club.path, demo=False, broker_url="b", hosts=["localhost"], outside=outside)
    assert made["DATABASE_URL"] == "postgresql://x/y"
    assert made["SECRET_KEY"] == "z" * 50
    assert made["LOG_LEVEL"] == "DEBUG"
    assert made["DEMO"] == "0"


def test_the_demo_never_touches_an_operator_s_database(club: DataFolder) -> None:
    outside = {"DATABASE_URL": "postgresql://x/y", "SECRET_KEY": "z" * 50, "SECURE": "1"}
    made = for_server(club.path, demo=True, broker_url="b", hosts=["localhost"], outside=outside)
    assert "DATABASE_URL" not in made
    assert made["SECRET_KEY"] != "z" * 50
    assert "SECURE" not in made
    assert made["DEMO"] == "1"


def test_behind_a_proxy_the_site_knows_its_name_and_its_proxy(club: DataFolder) -> None:
    made = for_server(
        club.path,
        demo=False,
        broker_url="b",
        hosts=["localhost"],
        address="https://club.example:8443",
        outside={},
    )
    assert made["ALLOWED_HOSTS"] == "localhost,club.example"
    assert made["CSRF_TRUSTED_ORIGINS"] == "https://club.example:8443"
    assert (made["NUM_PROXIES"], made["SECURE"]) == ("1", "1")


def test_no_secret_is_in_a_command_line(club: DataFolder) -> None:
    secret = keep_secret(club.path)
    for program in (programs.worker(), programs.clock(), programs.web(4)):
        assert not any(secret in word for word in program.command)
    assert os.environ.get("SECRET_KEY") != secret
