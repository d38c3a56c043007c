"""Rules stand in rights, policies and visibility alone, each with both halves."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path
from types import ModuleType

import pytest

from training import (
    belonging,
    correcting,
    foresight,
    policies,
    replanning,
    rights,
    visibility,
)

MODULES = [rights, policies, belonging, correcting, replanning, visibility, foresight]
TRAINING = Path(__file__).resolve().parents[2] / "training"
DECIDING = {"is_coach", "is_owner", "role", "standing", "competes"}
"""What a membership is: asked by the rules, by queries in the models and by nobody else."""

PRESENTED = {
    # Writing what somebody becomes, or choosing from a list, decides nothing.
    "services/accounts.py": {"Role", "Standing"},
    "services/people.py": {"Role", "role"},
    "services/particulars.py": {"Role", "role"},
    "services/counting.py": {"competes"},
    "services/erasing.py": {"Role", "Standing", "competes"},
    "selectors/club_data.py": {"competes", "role", "standing"},
    "api/serializers/people.py": {"Role"},
    # Whom an invite is for and who owns the club are said, and chosen from.
    "web/pages/joining/shown.py": {"Role", "role"},
    "web/pages/member/forms.py": {"Role", "competes", "role"},
    # What somebody is, said to them or to a coach.
    "web/pages/member/shown.py": {"role", "standing"},
    "web/parts/kept.py": {"role", "standing"},
    "web/saying/deeds.py": {"Standing"},
    "web/pages/people/forms.py": {"Role"},
    "web/pages/people/shown.py": {"Role", "role"},
    # Where somebody's day begins, and which links stand at the foot.
    "web/navigation.py": {"competes"},
}
"""Uses that only write, show or sort; each file with the names that it may use."""


def asked_in(source: str) -> set[str]:
    """The names with which a source asks what somebody is."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Attribute) or isinstance(node.ctx, ast.Store):
            continue
        if isinstance(node.value, ast.Name) and node.value.id in {"Role", "Standing"}:
            found.add(node.value.id)
        elif node.attr in DECIDING:
            found.add(node.attr)
    return found


def test_the_check_itself_sees_what_it_looks_for() -> None:
    assert asked_in("if viewer.is_coach and one.person.role == Role.OWNER: pass") == {
        "is_coach",
        "role",
        "Role",
    }


@pytest.mark.parametrize("wing", ["services", "selectors", "api", "web"])
def test_nobody_else_asks_what_somebody_is(wing: str) -> None:
    asked = {
        name: found
        for file in sorted((TRAINING / wing).rglob("*.py"))
        if (found := asked_in(file.read_text(encoding="utf-8")))
        and (name := str(file.relative_to(TRAINING)))
    }
    assert asked == {name: uses for name, uses in PRESENTED.items() if name.startswith(wing)}


def test_no_template_asks_what_somebody_is() -> None:
    asking = re.compile(r"\.(is_coach|is_owner|role|competes)\b")
    found = {
        str(file.relative_to(TRAINING)): asking.findall(text)
        for file in TRAINING.rglob("*.html")
        if asking.search(text := file.read_text(encoding="utf-8"))
    }
    assert found == {}


@pytest.mark.parametrize("module", MODULES)
def test_whatever_raises_names_the_half_that_answers(module: ModuleType) -> None:
    halves = [one for one in vars(module) if one.startswith("require_")]
    assert halves
    for name in halves:
        said = inspect.getdoc(getattr(module, name)) or ""
        answers = re.findall(r":func:`(\w+)`", said)
        assert answers, f"{module.__name__}.{name} does not say which rule it raises for"
        assert all(callable(getattr(module, one)) for one in answers)


@pytest.mark.parametrize("module", MODULES)
def test_every_rule_has_a_half_that_raises(module: ModuleType) -> None:
    own = {name: one for name, one in vars(module).items() if inspect.isfunction(one)}
    own = {name: one for name, one in own.items() if one.__module__ == module.__name__}
    rules = {name for name in own if name.startswith(("may_", "sees_"))}
    raised_for = {
        answer
        for name, one in own.items()
        if name.startswith("require_")
        for answer in re.findall(r":func:`(\w+)`", inspect.getdoc(one) or "")
    }
    assert rules
    assert rules - raised_for == set()
