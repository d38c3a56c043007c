"""One word, one thing: the glossary is true, and no class name stands for two things."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from pathlib import Path

import pytest

from solverworker.causes import IDEAS

ROOT = Path(__file__).resolve().parents[2]
WINGS = ("clubsite", "training", "solverworker")
BOOK = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
GLOSSARY = BOOK[BOOK.index("## Glossary") : BOOK.index("## How a plan travels")]

SAME_THING = {
    "Command": "Django finds a command by this name in its module",
    "OneOf": "a choice of a setting: as a model's field, and as the API takes it in",
    "WholeNumber": "a number of a setting: as a model's field, and as the API takes it in",
    "SignIn": "what the API takes in to sign in, and the page's view",
    "Token": "the API's answer to a sign-in keeps the name that programs know",
}
"""Names in two modules on purpose, with the reason."""


def modules() -> list[Path]:
    return [
        path
        for wing in WINGS
        for path in sorted((ROOT / wing).rglob("*.py"))
        if "migrations" not in path.parts
    ]


def public_classes() -> dict[str, list[str]]:
    """Where each public class name is defined, by module."""
    found: dict[str, list[str]] = defaultdict(list)
    for path in modules():
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(str(path.relative_to(ROOT)))
    return found


def test_no_class_name_stands_for_two_things() -> None:
    # A serializer or a view of the API bears the name of what it sends out.
    twice = {
        name: elsewhere
        for name, places in public_classes().items()
        if len(elsewhere := [one for one in places if not one.startswith("training/api/")]) > 1
        and name not in SAME_THING
    }
    assert twice == {}


def test_no_exception_outlives_its_reason() -> None:
    classes = public_classes()
    for name in SAME_THING:
        assert len(classes[name]) > 1, f"{name} is in one place: take it off the list"


NAMES = sorted(set(re.findall(r"`((?:training|solverworker|clubsite)\.[\w.]+)`", GLOSSARY)))


@pytest.mark.parametrize("name", NAMES)
def test_every_name_in_the_glossary_is_there(name: str) -> None:
    *module, last = name.split(".")
    if (ROOT / Path(*module, last)).with_suffix(".py").exists():
        return
    if (ROOT / Path(*module, last) / "__init__.py").exists():
        return
    home = (ROOT / Path(*module)).with_suffix(".py")
    assert home.exists(), f"{name}: there is no {home.name}"
    defined = {
        getattr(node, "name", None) for node in ast.parse(home.read_text(encoding="utf-8")).body
    }
    assert last in defined


def listed_modules() -> dict[str, set[str]]:
    """The rooms and their modules as DEVELOPERS.md has them."""
    rooms = BOOK[BOOK.index("## Rooms") : BOOK.index("## Glossary")]
    return {
        room: set(re.findall(r"\w+", names))
        for room, names in re.findall(r"^- `([\w/]+)/`: ((?:.|\n  )+)", rooms, re.MULTILINE)
    }


ONE_FILE_AN_IDEA = ("solverworker/causes/ideas", "solverworker/techniques/definitions")


def test_the_list_of_rooms_is_the_house() -> None:
    there: dict[str, set[str]] = defaultdict(set)
    for path in modules():
        room = str(path.parent.relative_to(ROOT))
        if path.name != "__init__.py" and "commands" not in path.parts:
            there[room].add(path.stem)
    for room in ONE_FILE_AN_IDEA:
        assert there.pop(room) == set(IDEAS)
    assert listed_modules() == there


def test_every_module_says_what_it_is() -> None:
    silent = [
        str(path.relative_to(ROOT))
        for path in modules()
        if path.name != "__init__.py" and not ast.get_docstring(ast.parse(path.read_text("utf-8")))
    ]
    assert silent == []
