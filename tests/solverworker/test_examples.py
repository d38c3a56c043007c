"""The examples in the docstrings are true."""

import doctest
import importlib
import pkgutil

import pytest

PACKAGES = [
    importlib.import_module(f"solverworker.{name}")
    for name in ("cube", "search", "techniques", "review")
]
MODULES = [package.__name__ for package in PACKAGES] + [
    module.name
    for package in PACKAGES
    for module in pkgutil.iter_modules(package.__path__, package.__name__ + ".")
]


@pytest.mark.parametrize("name", MODULES)
def test_every_example_gives_what_it_says(name):
    found = doctest.testmod(
        importlib.import_module(name),
        optionflags=doctest.ELLIPSIS | doctest.IGNORE_EXCEPTION_DETAIL,
    )
    assert found.failed == 0


def test_there_are_examples_to_check():
    finder = doctest.DocTestFinder()
    examples = [
        example
        for name in MODULES
        for test in finder.find(importlib.import_module(name))
        for example in test.examples
    ]
    assert len(examples) > 20
