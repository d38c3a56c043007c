"""What the documents name is there: files, commands, measurements, variables."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
OPERATING = ROOT / "clubsite" / "deploy" / "OPERATING.md"
FIGURES = ROOT / "tests" / "bench" / "FIGURES.md"
SERVER = OPERATING.with_name("SERVER.md")
DOCUMENTS = (
    README,
    OPERATING,
    SERVER,
    FIGURES,
    ROOT / "DEVELOPERS.md",
    ROOT / "clubsite/locale/README.md",
)


def names(document: Path) -> str:
    return str(document.relative_to(ROOT))


def test_the_readme_is_short_enough_to_be_read() -> None:
    assert len(README.read_text().splitlines()) <= 150


@pytest.mark.parametrize("document", DOCUMENTS, ids=names)
def test_its_lines_fit_and_its_links_lead_somewhere(document: Path) -> None:
    text = document.read_text()
    # A row of a table cannot be broken.
    wide = [line for line in text.splitlines() if len(line) > 120 and not line.startswith("|")]
    assert wide == []
    for target in re.findall(r"\]\((?!https?:)([^)#]+)\)", text):
        assert (document.parent / target).exists(), target


@pytest.mark.parametrize("document", DOCUMENTS, ids=names)
def test_every_command_it_gives_is_one(document: Path) -> None:
    found = re.findall(r"manage\.py ([a-z_-]+)", document.read_text())
    # Django names a command by its module, and a module has no hyphen.
    given = {name.replace("-", "") for name in found}
    assert given <= {*get_commands(), "help"}


def test_every_measurement_is_in_the_figures_and_the_other_way_round() -> None:
    # `python -m tests.bench.x`: a file that can be run has its figures written down.
    runs = {
        file.stem
        for file in FIGURES.parent.glob("*.py")
        if 'if __name__ == "__main__"' in file.read_text()
    }
    runs |= {file.parent.name for file in FIGURES.parent.glob("*/__main__.py")}
    text = FIGURES.read_text()
    named = set(re.findall(r"tests\.bench\.(\w+)", text))
    named |= set(re.findall(r"\| `(\w+)` \|$", text, re.M))
    assert named == runs


def test_every_variable_that_the_settings_read_is_in_the_operators_table() -> None:
    settings = "".join(file.read_text() for file in (ROOT / "clubsite" / "settings").glob("*.py"))
    read = set(re.findall(r'env_\w+\(\s*"([A-Z_]+)"', settings))
    assert {"SECRET_KEY", "DATABASE_URL", "REDIS_URL"} <= read
    table = set(re.findall(r"`([A-Z_]+)`", OPERATING.read_text()))
    # For those who build the house, and set by `demo` alone.
    assert read - table == {"DEBUG", "DEMO"}
