"""Small changes to a module, one at a time, that a good test should notice.

A mutation is a function that looks at one node of the syntax tree and gives the nodes that could
stand there instead. Words are left alone: docstrings, annotations, decorators, texts.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass

_COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_COMPUTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
_SWAPPED = {"min": "max", "max": "min", "any": "all", "all": "any"}
_PARTS = (ast.Constant, ast.Name, ast.cmpop, ast.operator, ast.boolop, ast.keyword)
_NARROWS = {"filter", "exclude", "get", "Q", "update", "update_or_create", "get_or_create"}
"""Calls each of whose keywords is a condition or a column of its own."""


@dataclass(frozen=True)
class Mutant:
    """One changed module: ``tree`` can be compiled; ``was`` and ``now`` are the changed piece."""

    line: int
    was: str
    now: str
    tree: ast.Module

    @property
    def name(self) -> str:
        """How it is called in lists, without the line, which moves."""
        return f"{self.was}  →  {self.now}"


def mutants(source: str) -> list[Mutant]:
    """All mutants of a module's source, in the order of its lines.

    >>> for one in mutants("def f(a):\\n    return a < 2"):
    ...     print(one.name)
    return a < 2  →  return None
    a < 2  →  a <= 2
    a < 2  →  a >= 2
    a < 2  →  a < 3
    a < 2  →  a < 1
    """
    found: list[Mutant] = []
    for place in range(sum(1 for _ in _places(ast.parse(source)))):
        number = 0
        while True:
            tree = ast.parse(source)
            node, parent, field, index = _at(tree, place)
            alternatives = _alternatives(node, parent, field)
            if number == len(alternatives):
                break
            # Shown with what stands around it: "2 → 3" alone would say little.
            around = isinstance(node, _PARTS)
            was = ast.unparse(parent if around else node)
            line = getattr(node, "lineno", getattr(parent, "lineno", 0))
            new = alternatives[number]
            _put(parent, field, index, new)
            ast.fix_missing_locations(tree)
            now = ast.unparse(parent if around or new is None else new)
            found.append(Mutant(line, _short(was), _short(now), tree))
            number += 1
    return sorted(found, key=lambda one: one.line)


_Place = tuple[ast.AST, ast.AST, str, int | None]


def _short(text: str) -> str:
    return " ".join(text.split())[:110]


def _at(tree: ast.Module, number: int) -> _Place:
    return next(place for n, place in enumerate(_places(tree)) if n == number)


def _places(node: ast.AST) -> Iterator[_Place]:
    """Every node that may change, with where it hangs."""
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns", "decorator_list", "type_params", "type_ignores"):
            continue
        for index, child in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if not isinstance(child, ast.AST) or _is_words(child):
                continue
            yield child, node, field, index
            yield from _places(child)


def _is_words(node: ast.AST) -> bool:
    """Docstrings, imports, what is for the type checker, and names told to nobody."""
    if isinstance(node, ast.Import | ast.ImportFrom | ast.JoinedStr):
        return True
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    return isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"


def _put(parent: ast.AST, field: str, index: int | None, new: ast.AST | None) -> None:
    if index is None:
        setattr(parent, field, new)
    elif new is None:
        del getattr(parent, field)[index]
    else:
        getattr(parent, field)[index] = new


def _alternatives(node: ast.AST, parent: ast.AST, field: str) -> list[ast.AST | None]:
    """What could stand in the place of ``node``; None: nothing."""
    found: list[ast.AST | None] = []
    if isinstance(node, ast.stmt):
        found += _statements(node)
    elif isinstance(node, ast.cmpop):
        found += [other() for other in _COMPARED[type(node)]]
    elif isinstance(node, ast.operator) and type(node) in _COMPUTED:
        found += [_COMPUTED[type(node)]()]
    elif isinstance(node, ast.boolop):
        found += [ast.Or() if isinstance(node, ast.And) else ast.And()]
    elif isinstance(node, ast.keyword):
        called = parent.func if isinstance(parent, ast.Call) else None
        name = getattr(called, "attr", getattr(called, "id", ""))
        found += [None] if name in _NARROWS and node.arg else []
    elif isinstance(node, ast.UnaryOp):
        found += [node.operand]
    elif isinstance(node, ast.Constant):
        found += _constants(node.value)
    elif isinstance(node, ast.Name) and field == "func" and node.id in _SWAPPED:
        found += [ast.Name(_SWAPPED[node.id], ast.Load())]
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        # A link of a chain: `sets.shared().opened(now)` without its last one.
        found += [node.func.value] if isinstance(node.func.value, ast.Call) else []
    elif isinstance(node, ast.BoolOp):
        found += [_without(node, number) for number in range(len(node.values))]
    if field == "test" and not isinstance(node, ast.Compare | ast.UnaryOp):
        found += [ast.UnaryOp(ast.Not(), copy.deepcopy(node))]
    if isinstance(parent, ast.comprehension) and field == "ifs":
        found += [ast.Constant(True)]
    return found


def _without(node: ast.BoolOp, number: int) -> ast.expr:
    """``a and b and c`` without one of them."""
    kept = [value for n, value in enumerate(node.values) if n != number]
    return ast.BoolOp(node.op, kept) if len(kept) > 1 else kept[0]


def _statements(node: ast.stmt) -> list[ast.AST | None]:
    if isinstance(node, ast.Expr | ast.AugAssign | ast.Raise | ast.Delete | ast.Assert):
        return [ast.Pass()]
    if isinstance(node, ast.Return) and node.value is not None:
        # None and False say the same to whoever asks yes or no.
        told = isinstance(node.value, ast.Constant) and node.value.value in (None, False)
        return [] if told else [ast.Return(ast.Constant(None))]
    if isinstance(node, ast.Continue):
        return [ast.Break()]
    if isinstance(node, ast.Break):
        return [ast.Continue()]
    return []


def _constants(value: object) -> list[ast.AST | None]:
    if isinstance(value, bool):
        return [ast.Constant(not value)]
    if isinstance(value, int):
        return [ast.Constant(value + 1), ast.Constant(value - 1)]
    if isinstance(value, float):
        return [ast.Constant(value * 1.1 + 0.01), ast.Constant(value * 0.9 - 0.01)]
    return []
