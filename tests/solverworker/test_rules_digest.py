"""Rules that changed while their version did not are found."""

import ast
import shutil

import pytest

from solverworker import report, rules_digest, sources

WHAT_TO_DO = """
The rules by which plans are checked are not those that were pinned. Ask yourself whether the
report of any plan can differ from before, and run one of:

    .venv/bin/python -m solverworker.rules_digest changed   it can: the version goes up by one
    .venv/bin/python -m solverworker.rules_digest same      it cannot: moved, renamed, made faster
"""


def test_the_rules_are_those_that_were_pinned_beside_the_version():
    assert rules_digest.rules_digest() == report.RULES_DIGEST, WHAT_TO_DO


@pytest.fixture
def copy(monkeypatch, tmp_path):
    """A copy of the solver's sources, which the digest is now made of."""
    there = tmp_path / "solverworker"
    shutil.copytree(sources.PACKAGE, there, ignore=shutil.ignore_patterns("__pycache__"))
    for module in (sources, rules_digest):
        monkeypatch.setattr(module, "PACKAGE", there)
    monkeypatch.setattr(rules_digest, "_REPORT", there / "report.py")
    sources._imported.cache_clear()
    yield there
    sources._imported.cache_clear()


def change(path, old, new):
    source = path.read_text("utf-8")
    assert old in source
    path.write_text(source.replace(old, new), "utf-8")


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("cube/notation.py", "MAX_TOKENS: Final = 80", "MAX_TOKENS: Final = 81"),
        ("cube/cross.py", "return 1 if in_middle or up else 2", "return 1 if in_middle else 2"),
        ("search/cross_kernels.py", "+ 1", "+ 2"),
        ("techniques/definitions/base_turn.py", "1 <= settled <= 3", "1 <= settled <= 2"),
        ("techniques/out_and_back.py", "not base_turned", "base_turned"),
        ("review/blame_kernels.py", "size > smallest", "size >= smallest"),
        ("review/slips.py", "MOST_HINTS: Final = 3", "MOST_HINTS: Final = 4"),
        ("report.py", '("white", "yellow"', '("yellow", "white"'),
        ("report.py", "SHOWN_SOLUTIONS = 12", "SHOWN_SOLUTIONS = 11"),
    ],
)
def test_a_changed_rule_is_another_digest(copy, file, old, new):
    before = rules_digest.rules_digest()
    change(copy / file, old, new)
    assert rules_digest.rules_digest() != before


def test_another_order_of_the_ideas_is_another_digest(monkeypatch):
    before = rules_digest.rules_digest()
    turned_round = dict(reversed(rules_digest.CAUSES.items()))
    monkeypatch.setattr(rules_digest, "CAUSES", turned_round)
    assert rules_digest.rules_digest() != before


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        # Comments, docstrings, layout.
        ("review/check.py", '"""Checking one plan:', '"""Looking at one plan:'),
        ("review/slips.py", "# The likeliest slips first", "# The unlikeliest slips last"),
        ("cube/turns.py", "return turn // 3\n", "return (\n        turn // 3  # a face\n    )\n"),
        # Words, and how things are kept.
        ("causes/ideas/base_turn.py", "That is a base turn again", "Another base turn"),
        ("cube/refusals.py", "is not a move", "is no move"),
        ("search/compiling.py", "KEPT_FOLDERS: Final = 3", "KEPT_FOLDERS: Final = 4"),
        # What no plan is checked by.
        ("search/phase_kernels.py", "+ 1", "+ 2"),
        ("cube/net.py", "9 * number", "8 * number"),
        # The pinned lines themselves.
        ("report.py", "SOLVER_VERSION = ", "SOLVER_VERSION = 1"),
    ],
)
def test_what_changes_no_result_changes_no_digest(copy, file, old, new):
    before = rules_digest.rules_digest()
    change(copy / file, old, new)
    assert rules_digest.rules_digest() == before


@pytest.mark.parametrize(("word", "more"), [("same", 0), ("changed", 1)])
def test_one_command_pins_them_anew(copy, capsys, word, more):
    change(copy / "cube" / "notation.py", "MAX_TOKENS: Final = 80", "MAX_TOKENS: Final = 81")
    assert rules_digest.main([word]) == 0
    found = {
        statement.targets[0].id: ast.literal_eval(statement.value)
        for statement in ast.parse((copy / "report.py").read_text("utf-8")).body
        if isinstance(statement, ast.Assign) and statement.targets[0].id in rules_digest.PINNED
    }
    assert found["SOLVER_VERSION"] == report.SOLVER_VERSION + more
    assert found["RULES_DIGEST"] == rules_digest.rules_digest() != report.RULES_DIGEST
    assert str(found["SOLVER_VERSION"]) in capsys.readouterr().out


@pytest.mark.parametrize("arguments", [[], ["maybe"], ["same", "changed"]])
def test_without_a_clear_answer_nothing_is_pinned(copy, capsys, arguments):
    before = (copy / "report.py").read_bytes()
    assert rules_digest.main(arguments) == 2
    assert (copy / "report.py").read_bytes() == before
    assert "rules_digest changed" in capsys.readouterr().err
