"""The one list of ideas: what it holds, and what it refuses in words."""

import dataclasses
from types import SimpleNamespace

import pytest

from solverworker.causes import CAUSES, IDEAS, RESIDUES
from solverworker.causes.listing import MOST_IDEAS, in_order
from solverworker.techniques import TECHNIQUES
from solverworker.techniques.registry import with_definitions


def idea(code, order):
    return dataclasses.replace(IDEAS["base_turn"], code=code, order=order)


def files(*ideas):
    """The files of some ideas, each by the name of its code."""
    return {one.code: SimpleNamespace(IDEA=one) for one in ideas}


def test_ideas_come_in_their_order_whatever_their_files_are_called():
    found = in_order(files(idea("a", 2), idea("b", 0), idea("c", 1)), taken=())
    assert list(found) == ["b", "c", "a"]


def test_the_list_is_whole():
    assert [one.order for one in IDEAS.values()] == list(range(len(IDEAS)))
    assert list(CAUSES) == [*IDEAS, *RESIDUES]
    assert all(code == cause.code for code, cause in CAUSES.items())
    assert list(TECHNIQUES) == list(IDEAS)
    # The choice of the colour is made before any move of the plan.
    assert [code for code, one in RESIDUES.items() if not one.wasted] == ["colour_choice"]


@pytest.mark.parametrize(
    ("found", "said"),
    [
        ({"a": SimpleNamespace()}, "`a.py` holds no IDEA"),
        ({"a": SimpleNamespace(IDEA="an idea")}, "`a.py` holds no IDEA"),
        ({"a": SimpleNamespace(IDEA=idea("b", 0))}, "`a.py` holds the code `b`"),
        (files(idea("a", 0)) | {"b": SimpleNamespace(IDEA=idea("a", 1))}, "no code stands twice"),
        (files(idea("undone_moves", 0)), "`undone_moves` is that of a residue"),
        (files(idea("a", 0), idea("b", 0)), "`a` and `b` both have the order 0"),
        (files(idea("a", 0), idea("b", 2)), "No idea has the order 1"),
        (files(idea("a", 1)), "No idea has the order 0"),
        (files(idea("a", 0), idea("b", -1)), "No idea has the order 1"),
        (
            files(*(idea(f"idea_{order}", order) for order in range(MOST_IDEAS + 1))),
            "There are 9 ideas. A mask holds 8",
        ),
    ],
)
def test_what_is_no_list_is_refused_in_words(found, said):
    with pytest.raises(ValueError, match=r"\.$") as refusal:
        in_order(found, taken=RESIDUES)
    assert said in str(refusal.value)


def test_words_and_definitions_come_in_pairs():
    own = SimpleNamespace(TECHNIQUE=TECHNIQUES["base_turn"])
    assert list(with_definitions({"b": 0, "a": 1}, {"a": own, "b": own})) == ["b", "a"]
    with pytest.raises(ValueError, match=r"`a` has words and no definition. Write .*/a.py"):
        with_definitions({"a": 0}, {})
    with pytest.raises(ValueError, match=r"`a` is of no idea. Write .*ideas/a.py"):
        with_definitions({}, {"a": own})
    with pytest.raises(ValueError, match="`a` holds no TECHNIQUE"):
        with_definitions({"a": 0}, {"a": SimpleNamespace()})
