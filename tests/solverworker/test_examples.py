"""The examples in the docstrings are true."""

import doctest
import importlib
import pkgutil

import pytest

import solverworker

MODULES = [
    "solverworker",
    *sorted(each.name for each in pkgutil.walk_packages(solverworker.__path__, "solverworker.")),
]
FLAGS = doctest.ELLIPSIS | doctest.IGNORE_EXCEPTION_DETAIL


def examples(name):
    found = doctest.DocTestFinder().find(importlib.import_module(name))
    return [test for test in found if test.examples]


@pytest.mark.parametrize("name", [name for name in MODULES if examples(name)])
def test_every_example_gives_what_it_says(name):
    runner = doctest.DocTestRunner(optionflags=FLAGS)
    for test in examples(name):
        runner.run(test)
    assert runner.tries > 0
    assert runner.failures == 0


def test_examples_are_looked_for_everywhere():
    found = {name.partition(".")[2].partition(".")[0] for name in MODULES if examples(name)}
    # Where there are none today, and none are wanted: workers, a folder's name, texts' order.
    assert {"", "causes", "cube", "review", "search", "sources", "techniques", "words"} <= found
    assert "solverworker.causes.ideas.base_turn" in MODULES
    assert "solverworker.techniques.definitions.base_turn" in MODULES
