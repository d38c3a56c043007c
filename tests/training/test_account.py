"""The whole account: what the table charged, and nothing twice.

Sources: the project's own definitions (headings, slips, ties), recomputed here in a plain way;
plans are made by the solver and checked on it.
"""

import json
import random
from collections import Counter
from fractions import Fraction
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from hypothesis import given
from hypothesis import strategies as st

from solverworker.causes import CAUSES
from solverworker.report import SLIPS
from solverworker.review import check_plan, solve
from training.account import Crossed, Missing, account_of, crossed, kinds_of_slips
from training.headings import HEADINGS, heading, name_of
from training.reach import Ending
from training.yardsticks import Flag

KINDS = SLIPS[:-1]
LOSSES = list(CAUSES)


def solved(**shares):
    exact = tuple((code, Fraction(share)) for code, share in shares.items())
    excess = sum(share for _, share in exact)
    return Crossed(best=6, solved=True, excess=int(excess), ending=Ending(6, 1), shares=exact)


def unsolved(*slips):
    return Crossed(best=6, slips=slips)


@st.composite
def solved_crosses_(draw):
    parts = draw(st.dictionaries(st.sampled_from(LOSSES), st.integers(1, 7), max_size=4))
    return solved(**parts)


ANY = st.one_of(
    solved_crosses_(),
    st.lists(st.sampled_from(KINDS), unique=True, max_size=3).map(lambda kinds: unsolved(*kinds)),
    st.sampled_from(list(Missing)).map(lambda why: Crossed(missing=why)),
)


@given(st.lists(ANY, max_size=25))
def test_points_sum_to_what_the_table_charged(crosses):
    found = account_of(crosses)
    assert found.total == sum(min(one.excess, 8) if one.solved else 8 for one in crosses)
    assert all(points > 0 for points in found.points.values())
    assert 8 * sum(found.unsolved.values()) == found.points.get("unsolved", 0)


def plain_kinds(plans):
    """Each plan to the one of its kinds that most plans have; first in the list among equals."""
    taken = [["forgotten_rotation"] if "forgotten_rotation" in one else one for one in plans]
    count = Counter()
    for one in taken:
        count.update(one)
    out = Counter()
    for one in taken:
        if not one:
            out["not_explained"] += 1
            continue
        most = max(count[kind] for kind in one)
        out[next(kind for kind in SLIPS if kind in one and count[kind] == most)] += 1
    return dict(out)


@given(st.lists(st.lists(st.sampled_from(KINDS), unique=True, max_size=4), max_size=20))
def test_a_members_plans_explain_each_other(plans):
    assert kinds_of_slips(plans) == plain_kinds(plans)


def test_what_costs_more_than_the_cap_is_scaled():
    found = account_of([solved(relative_build=4, undone_moves=8)])
    assert found.points == {"undone_moves": Fraction(16, 3), "relative_build": Fraction(8, 3)}


def first(*crosses, **flags):
    return account_of(crosses).first({code: Flag(flag) for code, flag in flags.items()})


def test_the_heading_named_first():
    wrong = [unsolved("wrong_direction")] * 3
    assert first(*wrong, solved(undone_moves=4)) == "wrong_direction"
    assert first(*[Crossed(missing=Missing.NO_PLAN)] * 3, solved(undone_moves=4)) == "no_plan"
    assert first(*[Crossed(missing=Missing.NOT_HANDED_IN)] * 2) == "not_handed_in"
    assert first(solved(undone_moves=4)) is None, "four points are too few"
    assert first(solved(undone_moves=5), solved(undone_moves=1)) == "undone_moves"
    # Less than a third of all.
    assert first(*[solved(undone_moves=1, base_turn=3)] * 5) is None
    assert first(*[solved(undone_moves=1, base_turn=3)] * 5, base_turn="likely_needs_work") == (
        "base_turn"
    )
    assert first() is None


def test_the_largest_is_named_and_ties_go_to_the_first_listed():
    lost = [solved(spare_base_moves=2, spare_top_moves=2, undone_moves=2)] * 4
    assert first(*lost) == "undone_moves"
    both = [unsolved("mirrored"), unsolved("wrong_layer")]
    assert first(*both) == "wrong_layer"
    even = [solved(colour_choice=3, base_turn=3)] * 2
    assert first(*even, base_turn="likely_needs_work") == ("colour_choice")


def test_edge_by_edge_is_more_than_half_of_the_solved():
    style = Crossed(best=6, solved=True, ending=Ending(6, None), edge_by_edge=True)
    other = Crossed(best=6, solved=True, ending=Ending(6, None))
    assert not account_of([style, other]).edge_by_edge
    assert account_of([style, style, other]).edge_by_edge
    assert not account_of([]).edge_by_edge


def test_exact_by_length_counts_unsolved_plans_and_leaves_out_what_never_came():
    exact = Crossed(best=5, solved=True, ending=Ending(5, None))
    found = account_of([exact, unsolved(), Crossed(best=5), Crossed(missing=Missing.NOT_HANDED_IN)])
    assert {best: (one.answered, one.called) for best, one in found.by_length.items()} == {
        5: (1, 2),
        6: (0, 1),
    }


def test_every_heading_has_words_and_one_thing_to_do():
    from training.account import HEADINGS as CODES

    for code in (*CODES, *SLIPS):
        told = heading(code)
        assert str(told.name) == name_of(code)
        assert str(told.says).endswith(".")
        assert str(told.to_do)
        assert len(str(told.says).split()) <= 25
    assert set(HEADINGS) <= {*CODES, *SLIPS}


# The command -------------------------------------------------------------------------


def run(tmp_path, lines, *arguments):
    file = tmp_path / "plans.jsonl"
    file.write_text("\n".join(json.dumps(line) for line in lines), "utf-8")
    out = StringIO()
    call_command("account", str(file), *arguments, stdout=out)
    return out.getvalue()


def scrambles(count):
    source = random.Random(5)
    for _ in range(count):
        faces = ["R"]
        while len(faces) < 18:
            faces.append(source.choice([face for face in "URFDLB" if face != faces[-1]]))
        yield " ".join(face + source.choice(["", "2", "'"]) for face in faces)


@pytest.fixture(scope="module")
def plans():
    """Twenty crosses of three members: exact ones, a turn the wrong way, an idle turn."""
    lines = []
    for place, scramble in enumerate(scrambles(20)):
        way = solve(scramble, colours=["yellow"])["yellow"].solutions[0].split()
        turned = [*way[:-2], way[-2][0] + ("" if way[-2].endswith("'") else "'"), way[-1]]
        day = f"2026-10-{1 + place:02}"
        for member, plan in (
            ("ada", " ".join(way)),
            ("bo", " ".join(turned)),
            ("cy", " ".join(["R", "R'", *way]) if place else None),
        ):
            lines.append(
                {
                    "member": member,
                    "scramble": scramble,
                    "plan": plan,
                    "colours": ["yellow"],
                    "day": day,
                }
            )
    return lines


def test_the_command_tells_members_apart(tmp_path, plans):
    found = json.loads(run(tmp_path, plans, "--json"))["members"]
    assert found["ada"]["points"] == {}
    assert found["ada"]["first"] is None
    assert found["ada"]["reach"]["exact"] == found["ada"]["solved"] == 20
    assert found["bo"]["first"] == "wrong_direction"
    assert found["cy"]["points"] == {"no_plan": "8", "undone_moves": "38"}
    assert found["cy"]["first"] == "undone_moves"
    assert found["cy"]["reach"]["at_least"][0] == 1
    assert set(found["ada"]) == {
        *("plans", "solved", "points", "unsolved", "first", "edge_by_edge"),
        *("reach", "exact_by_length", "techniques"),
    }
    for one in found.values():
        assert sum(map(Fraction, one["points"].values())) == sum(
            8 if not report.solved else min(report.excess, 8)
            for report in (
                check_plan(line["scramble"], line["plan"] or "", colours=["yellow"])
                for line in plans
                if found[line["member"]] is one
            )
        )


def test_later_days_are_left_out(tmp_path, plans):
    found = json.loads(run(tmp_path, plans, "--json", "--until", "2026-10-07"))["members"]
    assert {one["plans"] for one in found.values()} == {7}


def test_the_command_in_words(tmp_path, plans):
    said = run(tmp_path, plans)
    assert "bo: 20 plans" in said
    assert "First: a turn the wrong way." in said
    assert "ada: 20 plans, 20 solved, 0 points. First: no single thing yet." in said


def test_a_plan_for_another_scramble_of_the_day(tmp_path):
    one, two = scrambles(2)
    way = solve(two, colours=["yellow"])["yellow"].solutions[0]
    lines = [
        {"member": "a", "scramble": one, "plan": way, "colours": ["yellow"], "day": "2026-11-01"},
        {"member": "a", "scramble": two, "plan": way, "colours": ["yellow"], "day": "2026-11-01"},
    ]
    found = json.loads(run(tmp_path, lines, "--json"))["members"]["a"]
    assert found["unsolved"] == {"other_scramble": 1}
    lines[1]["day"] = "2026-11-02"
    found = json.loads(run(tmp_path, lines, "--json"))["members"]["a"]
    assert "other_scramble" not in found["unsolved"]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ({"member": "a", "scramble": "R", "plan": "Q"}, "Line 2: The plan cannot be read."),
        ({"scramble": "R", "plan": "R"}, 'Line 2: "member" is missing'),
        ({"member": "a", "scramble": "R"}, 'Line 2: "plan" is missing'),
        ({"member": "a", "scramble": "R", "plan": 7}, 'Line 2: "plan" is missing or is not text'),
        (
            {"member": "a", "scramble": "R", "plan": "R", "day": "soon"},
            'Line 2: "day" is not a date',
        ),
        ({"member": "a", "scramble": "R", "plan": "R", "colours": ["pink"]}, "Line 2: "),
    ],
)
def test_what_cannot_be_read_is_told_with_its_line(tmp_path, line, said):
    good = {"member": "a", "scramble": "R D", "plan": "D' R'"}
    with pytest.raises(CommandError) as refused:
        run(tmp_path, [good, line])
    assert str(refused.value).startswith(said)
    assert refused.value.returncode == 2


def test_a_file_that_is_not_there():
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("account", "nowhere.jsonl")


def test_a_report_gives_the_same_as_the_command_reads(plans):
    """A stored report, read back, has all that the account needs."""
    from solverworker.report import PlanReport

    for line in plans[:9]:
        report = check_plan(line["scramble"], line["plan"] or "", colours=["yellow"])
        again = PlanReport.from_dict(json.loads(json.dumps(report.to_dict())))
        assert crossed(again) == crossed(report)
