"""The house keeps its own rules: layers, types, style, migrations, and what the web loads."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BIN = Path(sys.executable).parent


def run(*command: str, **environ: str) -> str:
    """What a command says; the test fails with its words when it fails."""
    # The browser tests set it for this process; a deployment must not have it.
    kept = {n: v for n, v in os.environ.items() if n != "DJANGO_ALLOW_ASYNC_UNSAFE"}
    done = subprocess.run(
        command,
        cwd=ROOT,
        env={**kept, "SECRET_KEY": "x" * 40, **environ},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_the_layers_are_kept() -> None:
    assert "0 broken" in run(str(BIN / "lint-imports"), "--no-cache")


def test_style_and_format_are_kept() -> None:
    run(str(BIN / "ruff"), "check", ".")
    run(str(BIN / "ruff"), "format", "--check", ".")


@pytest.mark.slow
def test_types_are_kept() -> None:
    assert "no issues" in run(str(BIN / "mypy"))


@pytest.mark.django_db
def test_every_model_is_in_a_migration() -> None:
    run(
        sys.executable,
        "-m",
        "django",
        "makemigrations",
        "--check",
        "--dry-run",
        DJANGO_SETTINGS_MODULE="clubsite.settings.test",
    )


def test_the_web_process_never_loads_the_compiled_solver(tmp_path: Path) -> None:
    script = (
        "import sys; from clubsite.wsgi import application; from django.urls import get_resolver;"
        "get_resolver().url_patterns; [list(p.url_patterns) for p in get_resolver().url_patterns"
        " if hasattr(p, 'url_patterns')];"
        "bad = {m.split('.')[0] for m in sys.modules} & {'numba', 'llvmlite', 'scipy'};"
        "bad |= {m for m in sys.modules if m.startswith(('solverworker.search', "
        "'solverworker.review', 'solverworker.techniques', 'solverworker.tasks'))};"
        "print('loaded:', sorted(bad))"
    )
    said = run(
        sys.executable,
        "-c",
        script,
        DJANGO_SETTINGS_MODULE="clubsite.settings.base",
        WITHIN_EIGHT_DATA=str(tmp_path),
    )
    assert said.strip() == "loaded: []"


def test_deployment_checks_pass_for_a_public_site(tmp_path: Path) -> None:
    run(
        sys.executable,
        "-m",
        "django",
        "check",
        "--deploy",
        "--fail-level",
        "WARNING",
        DJANGO_SETTINGS_MODULE="clubsite.settings.base",
        WITHIN_EIGHT_DATA=str(tmp_path),
        SECURE="1",
        NUM_PROXIES="1",
        SECRET_KEY="0123456789abcdefghijklmnopqrstuvwxyz-" + "ABCDEFGHIJ" * 2,
    )


@pytest.mark.parametrize(
    ("environ", "finding"),
    [
        ({"SECURE": "1", "NUM_PROXIES": "0"}, "clubsite.W001"),
        ({"SECURE": "1", "NUM_PROXIES": "1", "DEMO": "1"}, "clubsite.E001"),
    ],
)
def test_deployment_mistakes_are_named(tmp_path: Path, environ, finding) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "django", "check", "--deploy"],
        cwd=ROOT,
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "clubsite.settings.base",
            "SECRET_KEY": "x" * 60,
            "WITHIN_EIGHT_DATA": str(tmp_path),
            **environ,
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert finding in done.stdout + done.stderr


def test_files_are_short_enough_to_be_read() -> None:
    long = {
        str(file.relative_to(ROOT)): lines
        for folder in ("clubsite", "training", "solverworker", "tests")
        for ending in ("*.py", "*.js", "*.css", "*.html")
        for file in (ROOT / folder).rglob(ending)
        if "migrations" not in file.parts
        and (lines := len(file.read_text(encoding="utf-8").splitlines())) > 350
    }
    assert long == {}


def test_lines_are_narrow_enough_to_be_compared() -> None:
    """Of Python ruff asks 100."""
    wide = {
        f"{file.relative_to(ROOT)}:{number}": len(line)
        for folder in ("clubsite", "training", "solverworker", "tests")
        for ending in ("*.html", "*.js", "*.css")
        for file in (ROOT / folder).rglob(ending)
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1)
        if len(line) > 120
    }
    assert wide == {}


def test_templates_stand_an_element_a_line() -> None:
    done = subprocess.run(
        [Path(sys.executable).with_name("djangofmt"), "--check", "training", "clubsite"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_a_migration_reads_and_writes_the_database_that_is_migrated() -> None:
    # Not the site's own: `move-database` migrates another beside the one that is in use.
    of_another = [
        f"{file.name}: {line.strip()}"
        for file in sorted((ROOT / "training" / "migrations").glob("0*.py"))
        for line in file.read_text().splitlines()
        if re.search(r"\.objects\b(?!\.using\()", line)
    ]
    assert of_another == []
