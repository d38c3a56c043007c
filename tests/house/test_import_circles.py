"""No module imports itself by way of others, not even inside a function.

A circle means that two files are one: neither can be read, moved or tested alone.
The graph is that of ``grimp``, which import-linter's contracts are checked with.
"""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter

import grimp
import pytest


def circle_in(graph: grimp.ImportGraph) -> list[str]:
    """A circle of modules, each imported by the next; empty when there is none."""
    sorter = TopologicalSorter(
        {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}
    )
    try:
        sorter.prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_module_imports_itself_by_way_of_others() -> None:
    # Imports in functions and those for types alone are in the graph too.
    graph = grimp.build_graph("clubsite", "training", "solverworker", cache_dir=None)
    assert "clubsite.deploy.installer" in graph.find_modules_directly_imported_by(
        "clubsite.bootstrap"
    )
    assert circle_in(graph) == []


@pytest.mark.parametrize(
    ("imports", "circle"),
    [
        ("a>b b>c a>c", set()),
        ("a>b b>a", {"a", "b"}),
        ("start>a a>b b>c c>a", {"a", "b", "c"}),
    ],
)
def test_a_circle_would_be_found(imports: str, circle: set[str]) -> None:
    graph = grimp.ImportGraph()
    for pair in imports.split():
        importer, _, imported = pair.partition(">")
        graph.add_import(importer=importer, imported=imported)
    assert set(circle_in(graph)) == circle
