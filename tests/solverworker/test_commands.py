"""The commands ``solve`` and ``checkplan``."""

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from solverworker.report import COLOURS

ROOT = Path(__file__).parents[2]
EXAMPLE = ("F2 B U2 D' U2 L R D L' F' B L U D", "D2 B' D F L U' F2 B")


def answer(*arguments):
    out = io.StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


def answer_json(*arguments):
    return json.loads(answer(*arguments, "--json"))


def batch(monkeypatch, lines, command="checkplan", *arguments):
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(line + "\n" for line in lines)))
    return [json.loads(line) for line in answer(command, "--batch", *arguments).splitlines()]


def refusal(capsys, *arguments):
    out = io.StringIO()
    with pytest.raises(SystemExit) as caught:
        call_command(*arguments, "--json", stdout=out)
    assert caught.value.code == 2
    found = json.loads(out.getvalue())
    assert found["readable"] is False
    return found["error"]


def test_solve_gives_count_best_and_solutions_of_all_six_colours():
    found = answer_json("solve", EXAMPLE[0])
    assert found["scramble"] == EXAMPLE[0]
    assert list(found["colours"]) == list(COLOURS)
    for colour, rotation in zip(COLOURS, ("z2", "", "x'", "x", "z", "z'"), strict=True):
        each = found["colours"][colour]
        assert each["count"] == len(each["solutions"]) > 0
        for text in each["solutions"]:
            tokens = text.split()
            if rotation:
                assert tokens.pop(0) == rotation
            assert len(tokens) == each["best"]
            report = answer_json("checkplan", EXAMPLE[0], text, "--colour", colour)
            assert (report["solved"], report["excess"]) == (True, 0)


def test_solve_takes_only_the_colours_asked_for():
    found = answer_json("solve", "R D", "--colour", "yellow", "--colour", "white")
    assert list(found["colours"]) == ["white", "yellow"]
    assert found["colours"]["yellow"] == {"best": 2, "count": 1, "solutions": ["D' R'"]}
    assert found["colours"]["white"] == {"best": 1, "count": 1, "solutions": ["z2 L'"]}


def test_solve_tells_people_best_and_count_before_the_solutions():
    told = answer("solve", "R D")
    assert told.index("yellow    best 2, 1 way") < told.index("  D' R'")
    assert "orange    best 1, 1 way" in told


def test_checkplan_weighs_a_plan():
    found = answer_json("checkplan", *EXAMPLE, "--colour", "yellow")
    assert found == {
        "readable": True,
        "canonical": EXAMPLE[1],
        "solved": True,
        "colour": "yellow",
        "solved_colours": ["yellow"],
        "moves": 8,
        "best": 6,
        "excess": 2,
        "colour_choice": 0,
        "ledger": [
            {"token": token, "moves": 1, "distance": distance, "loss": loss}
            for token, distance, loss in zip(
                EXAMPLE[1].split(), (6, 5, 5, 4, 3, 2, 1, 0), (1, 0, 1, 0, 0, 0, 0, 0), strict=True
            )
        ],
        "techniques": {
            "used": ["base_turn", "shared_turn"],
            "called": ["relative_build", "base_turn", "shared_turn"],
            "answered": ["base_turn", "shared_turn"],
            "blame": {"relative_build": "2"},
        },
        "handling": {
            "ends_on": "bottom",
            "rotations": 0,
            "rotations_after_first_move": 0,
            "back_turns": 2,
            "half_turns": 2,
        },
    }


def test_checkplan_blames_the_choice_of_colour_apart():
    found = answer_json("checkplan", "R D", "z2 U2 F F' R2 D2 F2", "--colour", "white")
    assert not found["solved"]
    assert found["techniques"] == {"used": [], "called": [], "answered": [], "blame": {}}
    yellow = answer_json("solve", EXAMPLE[0], "--colour", "yellow")["colours"]["yellow"]
    red = answer_json("solve", EXAMPLE[0], "--colour", "red")["colours"]["red"]
    assert (yellow["best"], red["best"]) == (6, 5)
    allowed = ("--colour", "yellow", "--colour", "red")
    found = answer_json("checkplan", EXAMPLE[0], yellow["solutions"][0], *allowed)
    assert (found["colour"], found["excess"], found["colour_choice"]) == ("yellow", 1, 1)
    assert found["techniques"]["blame"] == {"colour_choice": "1"}


def test_checkplan_says_what_is_missing():
    found = answer_json("checkplan", "R D", "D'", "--colour", "yellow")
    assert (found["solved"], found["excess"], found["colour_choice"]) == (False, None, None)
    assert (found["distance_left"], found["missing"], found["edges_home"]) == (1, "R'", 3)
    assert found["solved_colours"] == ["orange"]


def test_checkplan_reads_an_empty_plan():
    found = answer_json("checkplan", "R D", "", "--colour", "yellow")
    assert (found["readable"], found["moves"], found["ledger"]) == (True, 0, [])
    assert (found["solved"], found["distance_left"]) == (False, 2)


def test_checkplan_tells_people_the_verdict_and_the_ledger():
    told = answer("checkplan", *EXAMPLE, "--colour", "yellow")
    assert "Solved: yellow cross, 8 moves. Best is 6: 2 moves over." in told
    assert told.count("\n  ") >= 9
    told = answer("checkplan", "R D", "D'", "--colour", "white", "--colour", "yellow")
    assert "Not solved: the white cross is 1 move short. This would finish it: R'" in told
    assert "Solved, but not allowed here: orange." in told
    told = answer("checkplan", "D R", "R' D' U2", "--colour", "yellow", "--colour", "orange")
    assert "1 move for the choice of colour" in told
    assert "(no moves)" in answer("checkplan", "R", "")
    assert "nothing lost" in answer("checkplan", "R", "R'", "--colour", "yellow")


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("checkplan", "R U", "R U R4"), ("plan", "suffix", "R4", 4)),
        (("checkplan", "R Q", "R"), ("scramble", "unknown", "Q", 2)),
        (("checkplan", "", "R"), ("scramble", "empty", "", 0)),
        (("checkplan", "R", "r", "--strict"), ("plan", "not_in_strict", "r", 0)),
        (("checkplan", "R", "(R"), ("plan", "bracket", "(", 0)),
        (("checkplan", "R", "R '"), ("plan", "stray", "'", 2)),
        (("checkplan", "R", "R " * 81), ("plan", "too_long", "R", 160)),
        (("solve", "R U X"), ("scramble", "unknown", "X", 4)),
    ],
)
def test_what_cannot_be_read_ends_with_status_2(capsys, arguments, expected):
    error = refusal(capsys, *arguments)
    assert (error["in"], error["kind"], error["token"], error["position"]) == expected
    assert error["message"]
    with pytest.raises(CommandError, match="cannot be read") as caught:
        call_command(*arguments)
    assert caught.value.returncode == 2


@pytest.mark.parametrize("arguments", [("solve",), ("checkplan",), ("checkplan", "R")])
def test_without_its_texts_a_command_says_what_to_give(arguments):
    with pytest.raises(CommandError, match="in quotes"):
        call_command(*arguments)


@pytest.mark.parametrize("command", [("solve", "R"), ("checkplan", "R", "R")])
def test_an_unknown_colour_is_named(command):
    with pytest.raises(CommandError, match="pink"):
        call_command(*command, "--colour", "pink")


def test_a_batch_answers_every_line_in_order_even_bad_ones(monkeypatch):
    found = batch(
        monkeypatch,
        [
            '{"scramble": "R D", "plan": "D\' R\'", "colours": ["yellow"]}',
            "",
            "nonsense",
            "[1, 2]",
            '{"scramble": "R D"}',
            '{"plan": "R"}',
            '{"scramble": "R", "plan": 5}',
            '{"scramble": "R", "plan": "R\'", "colours": ["pink"]}',
            '{"scramble": "R", "plan": "R\'", "colours": "white"}',
            '{"scramble": "R", "plan": "R\'", "colours": []}',
            '{"scramble": "", "plan": "R"}',
            '{"scramble": "R", "plan": "R 🙂"}',
            '{"scramble": "R", "plan": "\\ud800"}',
            "[" * 100_000,
            '{"scramble": "R", "plan": "R\'", "colours": null}',
        ],
    )
    told = [
        (each["error"]["in"], each["error"]["kind"], each["error"]["position"])
        if not each["readable"]
        else (each["colour"], each["solved"], each["moves"])
        for each in found
    ]
    assert told == [
        ("yellow", True, 2),
        ("line", "not_json", 0),
        ("line", "not_json", 0),
        ("line", "not_json", 0),
        ("line", "not_json", 0),
        ("line", "not_json", 0),
        ("line", "not_json", 0),
        ("colours", "unknown", 0),
        ("line", "not_json", 0),
        ("line", "not_json", 0),
        ("scramble", "empty", 0),
        ("plan", "unknown", 2),
        ("plan", "unknown", 0),
        ("line", "not_json", 0),
        ("orange", True, 1),
    ]
    assert all(each["readable"] or each["error"]["message"] for each in found)


def test_a_batch_takes_its_colours_and_spelling_from_the_command_unless_a_line_says(monkeypatch):
    lines = [
        '{"scramble": "R", "plan": "r2"}',
        '{"scramble": "R", "plan": "R2"}',
        '{"scramble": "R", "plan": "R2", "colours": ["orange"]}',
    ]
    strict, white, orange = batch(monkeypatch, lines, "checkplan", "--strict", "--colour", "white")
    assert strict["error"]["kind"] == "not_in_strict"
    assert (white["colour"], white["solved"]) == ("white", False)
    assert (orange["colour"], orange["solved"]) == ("orange", True)


def test_solve_has_a_batch_too(monkeypatch):
    found = batch(
        monkeypatch,
        ['{"scramble": "R D", "colours": ["yellow"]}', '{"scramble": "R4"}', "{}"],
        "solve",
    )
    assert found[0]["colours"]["yellow"]["solutions"] == ["D' R'"]
    assert [each["error"]["kind"] for each in found[1:]] == ["suffix", "not_json"]


def test_through_a_pipe_a_batch_needs_no_database_and_answers_bytes_that_are_no_text():
    done = subprocess.run(
        [sys.executable, "-m", "django", "checkplan", "--batch"],
        cwd=ROOT,
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "clubsite.settings.test",
            "DATABASE_URL": "postgres://nobody@127.0.0.1:1/none",
            "PYTHONPATH": str(ROOT),
        },
        input=b'\xff\xfe\n{"scramble": "R", "plan": "R\'"}\r\n{"scramble": "R", "plan": "Q"}',
        capture_output=True,
        timeout=120,
        check=True,
    )
    first, second, third = (json.loads(line) for line in done.stdout.splitlines())
    assert (first["error"]["kind"], second["solved"], third["error"]["kind"]) == (
        "not_json",
        True,
        "unknown",
    )
    assert done.stderr == b""
