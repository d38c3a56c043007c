"""Every word about plans can be said in another tongue."""

import ast
import re
import string
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker import causes, tongue, words
from solverworker.causes import CAUSES
from solverworker.report import COLOURS
from solverworker.review import check_plan
from solverworker.tongue import Tongue
from solverworker.words import vocabulary
from tests.solverworker.test_plan_laws import SCRAMBLES
from tests.solverworker.test_words import ways


def test_every_code_has_words_that_are_its_own():
    assert [words.name_of(code) for code in CAUSES] == [cause.name for cause in CAUSES.values()]
    names = [cause.name for cause in CAUSES.values()]
    assert len(set(names)) == len(names)
    for cause in CAUSES.values():
        assert cause.meaning.endswith(".")
        assert cause.example.endswith(".")
    assert words.name_of("something_new") == "something new"


WORDS = [
    Path(vocabulary.__file__),
    Path(tongue.__file__),
    *Path(causes.__file__).parent.rglob("*.py"),
]


def texts_not_marked(source):
    """Return the texts of two words and more outside of ``_()``; docstrings and errors aside."""
    tree = ast.parse(source)
    set_aside = {
        id(node)
        for outer in ast.walk(tree)
        if isinstance(outer, ast.Raise)
        or (isinstance(outer, ast.Expr) and isinstance(outer.value, ast.Constant))
        or (
            isinstance(outer, ast.Call)
            and isinstance(outer.func, ast.Name)
            and outer.func.id in ("_", "gettext_noop", "ngettext")
        )
        for node in ast.walk(outer)
    }
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and " " in node.value.strip()
        and id(node) not in set_aside
    ]


@pytest.mark.parametrize("file", WORDS, ids=lambda file: file.name)
def test_every_text_of_the_vocabulary_is_marked_for_translation(file):
    assert texts_not_marked(file.read_text("utf-8")) == []


def test_the_two_forms_of_a_text_with_a_number_are_marked_as_such():
    """Translators see them as one text with as many forms as their tongue has."""
    tree = ast.parse(Path(vocabulary.__file__).read_text("utf-8"))
    pairs = [node for node in ast.walk(tree) if isinstance(node, ast.Tuple)]
    assert [ast.unparse(pair) for pair in pairs] == []
    assert vocabulary.SHORT == ("One move short", "{number} moves short")


def test_a_text_that_is_not_marked_is_found():
    assert texts_not_marked(
        '"""A file."""\nIDEA = Idea(name=_("a turn"), meaning="One turn.")'
    ) == ["One turn."]


@given(SCRAMBLES, st.sampled_from(COLOURS))
@settings(max_examples=30)
def test_nothing_is_said_that_does_not_go_through_the_translation(scramble, colour):
    """In a tongue of capitals no small letter is left."""
    way = ways(scramble, colour, most=1)[0]
    report = check_plan(scramble, f"{way.text} U U2 B B'", colours=[colour])
    said = [
        *words.story_in_words(scramble, way, CAPITALS),
        *(
            text
            for loss in words.losses(scramble, report, CAPITALS)
            for text in (loss.lost, loss.called, loss.instead, *loss.story)
        ),
        *words.handling_in_words(report.handling, CAPITALS),
    ]
    unsolved = check_plan(scramble, "U R2 F", colours=[colour])
    said += words.unsolved(unsolved, CAPITALS)
    said += [words.hint_in_words(hint, CAPITALS) for hint in unsolved.hints]
    for text in said:
        assert not set(re.sub(r"`[^`]*`", "", text)) & set(string.ascii_lowercase), text


def capitals(text):
    return "".join(
        part if part.startswith("{") else part.upper() for part in re.split(r"(\{[^}]*\})", text)
    )


CAPITALS = Tongue(
    gettext=capitals,
    ngettext=lambda one, many, number: capitals(one if number == 1 else many),
)


def test_words_are_loaded_without_the_solver():
    code = (
        "import sys, solverworker.words; "
        "sys.exit(any(name in sys.modules for name in ('numba', 'numpy', 'django')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
