"""The commands ``atlas`` and ``scramble``, and what ``solve`` and ``checkplan`` say of pairs."""

import json
from itertools import takewhile
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from solverworker.causes import IDEAS
from solverworker.review import with_pair
from solverworker.search import pair
from solverworker.search.scramble import draw_scrambles
from solverworker.techniques.atlas_maker import atlas
from tests.solverworker.test_commands import answer, answer_json, batch, refusal
from training.management.commands.atlas import IDEAS_HEAD

SCRAMBLE = "R U F2 D B"


def test_atlas_gives_its_figures():
    found = answer_json("atlas")
    assert found == atlas().figures
    told = answer("atlas")
    assert "190,080 crosses, 2,013,810 shortest solutions" in told
    assert "base turn" in told
    assert "With the first pair" not in told


def test_the_readmes_table_of_ideas_is_the_one_that_atlas_prints():
    """Wherever in it the table stands: it is found by its head."""
    lines = (Path(__file__).parents[2] / "README.md").read_text("utf-8").splitlines()
    head = lines.index(IDEAS_HEAD)
    table = list(takewhile(lambda line: line.startswith("|"), lines[head:]))
    expected = answer("atlas", "--ideas").splitlines()
    assert len(expected) == len(IDEAS) + 2
    assert table == expected, "Put there what `manage.py atlas --ideas` prints."


def test_atlas_adds_the_pair_when_asked():
    found = json.loads(answer("atlas", "--pair", "--json"))
    assert found["pair_by_distance"] == {str(k): v for k, v in pair.table().by_distance.items()}
    assert "With the first pair, one slot given: 72,990,720 states" in answer("atlas", "--pair")


def test_the_pair_table_is_made_with_progress_shown(monkeypatch, tmp_path, capsys):
    monkeypatch.setattr(pair, "_held", [])
    monkeypatch.setattr(pair, "load_or_make", lambda name, version, make: make())

    def quick(progress):
        progress(36_495_360, 72_990_720)
        progress(72_990_720, 72_990_720)
        return {"packed": kept.packed, "counts": kept_counts}

    kept = pair.PairTable(pair.read(pair.NAME, pair.version()))
    kept_counts = pair.read(pair.NAME, pair.version())["counts"]
    monkeypatch.setattr(pair, "make_table", quick)
    monkeypatch.setattr(pair, "ready", lambda: None)
    call_command("atlas", "--pair", "--json")
    told = capsys.readouterr().err
    assert "50 % made" in told
    assert "100 % made" in told


def test_solve_adds_the_pair_when_asked():
    plain = answer_json("solve", SCRAMBLE)
    found = answer_json("solve", SCRAMBLE, "--pair")
    best = with_pair(SCRAMBLE)
    for colour, each in found["colours"].items():
        assert {key: each[key] for key in ("best", "count", "solutions")} == plain["colours"][
            colour
        ]
        assert each["with_pair"] == best[colour].best == min(each["with_pair_slots"])
        assert each["with_pair_slots"] == sorted(each["slots"].values())
        assert len(each["with_pair_slots"]) == 4
        assert each["pair_solutions"] == list(best[colour].solutions)
    told = answer("solve", SCRAMBLE, "--pair", "--colour", "white")
    assert "with its first pair, in 3 (" in told


def test_checkplan_weighs_a_pair_planned_ahead():
    cross, both = "z2 B' D' L'", "z2 B' D' L'"
    found = answer_json("checkplan", SCRAMBLE, cross, "--pair-plan", "", "--colour", "white")
    assert found["solved"] is True
    assert found["pair"] == {
        "solved": True,
        "slot": "blue-orange",
        "moves": 3,
        "best": 3,
        "excess": 0,
        "from_cross": 0,
        "best_cross": {"text": both, "then": 0, "slot": "blue-orange"},
    }
    assert "pair" not in answer_json("checkplan", SCRAMBLE, cross)
    told = answer("checkplan", SCRAMBLE, cross, "--pair-plan", "U U'", "--colour", "white")
    assert "With the pair: 5 moves, in its slot: blue-orange. Best is 3, 2 moves over" in told
    told = answer("checkplan", SCRAMBLE, "B'", "--pair-plan", "", "--colour", "white")
    assert "no pair stands in its slot" in told


def test_a_pair_plan_that_cannot_be_read_says_so(capsys):
    error = refusal(capsys, "checkplan", SCRAMBLE, "B'", "--pair-plan", "R4")
    assert (error["in"], error["kind"], error["position"]) == ("pair plan", "suffix", 0)


def test_a_batch_may_have_pair_plans(monkeypatch):
    lines = [
        json.dumps({"scramble": SCRAMBLE, "plan": "z2 B' D' L'", "pair_plan": "U"}),
        json.dumps({"scramble": SCRAMBLE, "plan": "z2 B' D' L'"}),
        json.dumps({"scramble": SCRAMBLE, "plan": "B", "pair_plan": 7}),
    ]
    first, second, third = batch(monkeypatch, lines)
    assert (first["pair"]["moves"], first["pair"]["excess"]) == (4, 1)
    assert "pair" not in second
    assert third["error"]["kind"] == "not_json"


def test_scramble_draws_as_many_as_asked_the_same_again_by_a_seed():
    found = json.loads(answer("scramble", "-n", "5", "--seed", "lantern", "--json"))
    assert found["scrambles"] == list(draw_scrambles(5, "lantern").texts)
    assert (found["method"], found["seed"]) == ("random_state", "lantern")
    told = answer("scramble", "-n", "5", "--seed", "lantern").splitlines()
    assert told == found["scrambles"]
    fresh = [json.loads(answer("scramble", "--json")) for _ in range(2)]
    assert fresh[0]["seed"] != fresh[1]["seed"]
    again = json.loads(answer("scramble", "--seed", fresh[0]["seed"], "--json"))
    assert again["scrambles"] == fresh[0]["scrambles"]


@pytest.mark.parametrize("count", ["0", "-3", "10001"])
def test_too_many_scrambles_or_none_are_refused(count):
    with pytest.raises(CommandError, match="Ask for 1 to 10,000"):
        call_command("scramble", "-n", count)


@pytest.mark.parametrize(
    "words",
    [
        ("checkplan", "R D", "--batch"),
        ("checkplan", "--batch", "--pair-plan", "U"),
        ("solve", "R D", "--batch"),
    ],
)
def test_arguments_that_a_batch_would_not_heed_are_refused(words):
    with pytest.raises(CommandError, match="leave out the arguments"):
        answer(*words)


def test_a_batch_saved_on_windows_is_read(monkeypatch):
    lines = ['\ufeff{"scramble": "R D", "plan": "D\' R\'"}\r', "{\r"]
    first, second = batch(monkeypatch, lines)
    assert first["solved"] is True
    assert second["error"]["position"] == 1
