"""Whatever is refused is refused in words that can be said in another language."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from training import refusals

TRAINING = Path(__file__).resolve().parents[2] / "training"
REFUSALS = {
    name
    for name, one in vars(refusals).items()
    if isinstance(one, type) and issubclass(one, refusals.Refusal)
} | {"ValidationError"}


def unmarked(source: str) -> Iterator[int]:
    """The lines in which a refusal is given words as they are."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
            name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
            plain = any(
                isinstance(one, ast.Constant | ast.JoinedStr | ast.BinOp) for one in node.args[:1]
            )
            marks_by_pieces = name in {"_", "gettext", "gettext_lazy"} and any(
                isinstance(one, ast.JoinedStr) for one in node.args
            )
            if (name in REFUSALS and plain) or marks_by_pieces:
                yield node.lineno


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("raise InvalidEntry('No.')", [1]),
        ("raise InvalidEntry(f'No, {name}.')", [1]),
        ("raise refusals.SetClosed('No ' + name)", [1]),
        ("raise InvalidEntry(_(f'No, {name}.'))", [1]),
        ("raise InvalidEntry(_('No, {name}.').format(name=name))", []),
    ],
)
def test_the_check_itself_sees_what_it_looks_for(source: str, found: list[int]) -> None:
    assert list(unmarked(source)) == found


def test_every_refusal_is_marked_for_other_languages() -> None:
    found = {
        f"{file.relative_to(TRAINING)}:{line}"
        for file in TRAINING.rglob("*.py")
        for line in unmarked(file.read_text(encoding="utf-8"))
    }
    assert found == set()
