"""The notation of WCA Article 12, strict and club spelling.

Vectors: ``tests/data/notation.json``, which names the article of each group.
"""

import json
from pathlib import Path

import pytest

from solverworker.cube.notation import (
    MAX_TOKENS,
    NotationError,
    all_lower_case,
    canonical,
    count_etm,
    count_moves,
    parse,
)

VECTORS = json.loads((Path(__file__).parents[1] / "data" / "notation.json").read_text("utf-8"))

# 12a1, 12a2, 12a4: 18 face turns, 36 outer-block turns (with and without the
# layer count, which means the same on a 3x3) and 9 rotations.
STRICT_TOKENS = [
    family + suffix
    for families in ("URFDLB", [f + "w" for f in "URFDLB"], [f"2{f}w" for f in "URFDLB"], "xyz")
    for family in families
    for suffix in ("", "'", "2")
]


def test_strict_spelling_has_the_standards_63_tokens():
    assert len(STRICT_TOKENS) == 63
    for written in STRICT_TOKENS:
        (token,) = parse(written, strict=True)
        assert str(token) == written.removeprefix("2")
        assert token.written == written


@pytest.mark.parametrize(("text", "moves", "etm"), VECTORS["counted"])
def test_moves_are_counted_as_the_standard_counts(text, moves, etm):
    tokens = parse(text)
    assert (count_moves(tokens), count_etm(tokens)) == (moves, etm)


@pytest.mark.parametrize(("text", "expected"), VECTORS["club"])
def test_club_spelling_reads_what_people_write(text, expected):
    if expected is None:
        with pytest.raises(NotationError):
            parse(text)
    else:
        assert canonical(parse(text)) == expected


@pytest.mark.parametrize(("text", "kind", "token", "position"), VECTORS["refused"])
@pytest.mark.parametrize("strict", [False, True])
def test_what_is_no_move_is_refused_with_kind_token_and_place(text, kind, token, position, strict):
    with pytest.raises(NotationError) as caught:
        parse(text, strict=strict)
    error = caught.value
    if strict and error.kind == "not_in_strict":
        assert error.position <= position
        return
    assert (error.kind, error.token, error.position) == (kind, token, position)
    assert error.where == "plan"


@pytest.mark.parametrize(("text", "token", "position"), VECTORS["not_in_strict"])
def test_strict_spelling_refuses_what_only_the_club_writes(text, token, position):
    parse(text)
    with pytest.raises(NotationError) as caught:
        parse(text, strict=True)
    error = caught.value
    assert (error.kind, error.token, error.position) == ("not_in_strict", token, position)


def test_the_message_names_the_thing_the_place_and_the_way_out():
    with pytest.raises(NotationError) as caught:
        parse("R U R' U' R4")
    assert caught.value.message == (
        "`R4` at character 11 is not a move. A move is a letter with nothing, `'` or `2` after it."
    )
    assert str(caught.value) == caught.value.message


def test_eighty_written_moves_are_the_most_and_rotations_count():
    # E2d1
    assert len(parse("M x " * 40)) == MAX_TOKENS == 80
    with pytest.raises(NotationError) as caught:
        parse("M x " * 40 + "y")
    assert (caught.value.kind, caught.value.token, caught.value.position) == ("too_long", "y", 160)


@pytest.mark.parametrize(
    "text",
    [
        "R " * 500_000,
        " " * 1_000_000,
        "(" * 1_000_000,
        "()" * 500_000,
        "2" * 1_000_000,
        "R" + "'" * 1_000_000,
        "🙂" * 1_000_000,
        "//" * 500_000,
        "// \n" * 250_000,
        "q" * 1_000_000,
    ],
    ids=lambda text: text[:4].strip() or "blank",
)
def test_a_megabyte_is_refused_with_a_short_message(text):
    with pytest.raises(NotationError) as caught:
        parse(text)
    assert len(caught.value.message) < 200
    assert len(caught.value.token) < 32


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("r u r'", "R U R'"),
        ("z2 r u2 f3", "z2 R U2 F'"),
        ("rur'", "R U R'"),
        ("r U", None),
        ("r M", None),
        ("Rw u", None),
        ("x y", None),
        ("", None),
        ("r q", None),
    ],
)
def test_all_lower_case_asks_whether_face_turns_were_meant(text, meant):
    assert all_lower_case(text) == meant


@pytest.mark.parametrize(
    ("text", "token", "position"),
    [
        ("(R U)x3", "x3", 5),
        ("(R U)x2", "x2", 5),
        ("[R U] x3 D", "x3", 6),
        ("(R U)3", "3", 5),
        ("(R U)*2", "*2", 5),
        ("(R U) × 4", "× 4", 6),
    ],
)
def test_a_repeat_sign_behind_a_bracket_is_no_rotation(text, token, position):
    # E2c4: groups are no notation of the standard; common practice writes a repeat so.
    with pytest.raises(NotationError) as refused:
        parse(text)
    error = refused.value
    assert (error.kind, error.token, error.position) == ("repeat", token, position)
    assert "Write the moves out" in error.message


@pytest.mark.parametrize(
    ("text", "moves"),
    [
        ("(R U) x2 D", "R U x2 D"),
        ("(R U)x' D", "R U x' D"),
        ("(R U)2Rw", "R U Rw"),
        ("(R)y2", "R y2"),
    ],
)
def test_a_rotation_or_a_block_behind_a_bracket_is_read_as_one(text, moves):
    assert canonical(parse(text)) == moves
