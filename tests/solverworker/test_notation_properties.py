"""Whatever is typed, the reader answers; whatever it writes, it reads back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solverworker.cube.notation import NotationError, canonical, count_etm, parse

FAMILIES = [*"URFDLB", *[f + "w" for f in "URFDLB"], *"MESxyz"]
CANONICAL = st.builds(str.__add__, st.sampled_from(FAMILIES), st.sampled_from(["", "'", "2"]))
PLANS = st.lists(CANONICAL, max_size=80).map(" ".join)
STRICT = st.lists(CANONICAL.filter(lambda t: t[0] not in "MES"), max_size=20).map(" ".join)
NEARLY = st.text(alphabet="URFDLBurfdlbMESxyzXw234'’()[]/ \n\t,", max_size=60)


def read(text, *, strict=False):
    """Return the tokens of a text and None, or no tokens and the error."""
    try:
        return parse(text, strict=strict), None
    except NotationError as error:
        return (), error


@given(st.one_of(st.text(max_size=80), NEARLY), st.booleans())
def test_any_text_is_read_or_refused_with_a_place_in_it(text, strict):
    tokens, error = read(text, strict=strict)
    if error:
        assert 0 <= error.position < len(text)
        assert text[error.position :].startswith(error.token.rstrip("…"))
        assert str(error.position + 1) in error.message
    for token in tokens:
        assert text[token.position :].startswith(token.written)


@given(PLANS)
def test_canonical_text_reads_back_to_itself(text):
    tokens = parse(text)
    assert canonical(tokens) == text
    assert count_etm(tokens) == len(text.split())


@given(st.one_of(PLANS, NEARLY))
def test_whatever_was_read_reads_back_the_same_in_canonical_spelling(text):
    tokens, _ = read(text)
    again = parse(canonical(tokens))
    assert [token[:3] for token in again] == [token[:3] for token in tokens]


@given(STRICT)
def test_strict_spelling_is_read_the_same_by_both(text):
    assert parse(text, strict=True) == parse(text)


@given(PLANS, st.lists(st.sampled_from(["(", ")", "[", "]"]), max_size=6), st.randoms())
def test_brackets_group_and_change_nothing(text, brackets, random):
    tokens = text.split()
    for bracket in brackets:
        tokens.insert(random.randint(0, len(tokens)), bracket)
    found, error = read(" ".join(tokens))
    if error:
        assert error.kind == "bracket"
    else:
        assert canonical(found) == text


@given(STRICT, st.booleans())
def test_the_same_text_is_read_once(text, strict):
    assert parse(text, strict=strict) is parse(text, strict=strict)


def test_what_was_read_cannot_be_changed():
    tokens = parse("R U")
    assert isinstance(tokens, tuple)
    with pytest.raises(AttributeError):
        tokens[0].quarters = 2


def test_what_was_kept_answers_neither_another_spelling_nor_another_limit_or_place():
    assert len(parse("r U")) == 2
    with pytest.raises(NotationError, match="strict"):
        parse("r U", strict=True)
    with pytest.raises(NotationError, match="at most 1") as refusal:
        parse("r U", limit=1, where="scramble")
    assert refusal.value.where == "scramble"
    assert len(parse("r U")) == 2


def test_a_refusal_is_made_anew_each_time():
    """One kept would carry the traceback of whoever met it before."""
    refusals = [read("R Q")[1] for _ in range(2)]
    assert refusals[0] is not refusals[1]
    assert [str(each) for each in refusals] == [str(refusals[0])] * 2
