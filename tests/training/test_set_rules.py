"""The rules of a set: one value, copied by one function; what a picked set is drawn to."""

from __future__ import annotations

import ast
from dataclasses import FrozenInstanceError, fields, replace
from datetime import date, time
from pathlib import Path

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import connection
from django.db.migrations.autodetector import MigrationAutodetector
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.state import ProjectState
from hypothesis import given as examples
from hypothesis import strategies as st

from solverworker.report import COLOURS
from solverworker.tasks import DRAWERS
from tests.conftest import NOON
from training import ranking
from training.models import SETTINGS, Club, Person, ScrambleSet
from training.models.settings import RulesOfSets, columns_of
from training.rules import CAP, Held, PickedProfile, SetRules, Sight, Spelling, Timing
from training.selectors.set_heads import head_of
from training.services.issuing import issue_of_series
from training.services.lesson_sets import make_club_night, make_homework
from training.services.practice import prepare

TODAY = date(2026, 11, 25)
TRAINING = Path(__file__).resolve().parents[2] / "training"
UNUSUAL = SetRules(
    colours=("green", "red"),
    spelling=Spelling.STRICT,
    answers_to=Sight.CLOSING,
    table_to=Sight.COACHES,
    best_sets_counted=4,
    timing=Timing.TIMED,
    held=Held.FREE,
)


def test_every_rule_has_a_column_and_every_column_of_rules_a_place_in_the_value() -> None:
    assert {one.name for one in fields(SetRules)} == {
        field.name for field in RulesOfSets._meta.local_fields
    }
    assert set(columns_of(UNUSUAL)) < set(SETTINGS)


def test_rules_are_frozen_and_the_cap_is_the_same_in_all_of_them() -> None:
    with pytest.raises(FrozenInstanceError):
        UNUSUAL.spelling = Spelling.CLUB  # type: ignore[misc]
    assert UNUSUAL.cap == CAP == ranking.UNSOLVED.points == 8
    assert UNUSUAL.strict
    assert not replace(UNUSUAL, spelling=Spelling.CLUB).strict


@pytest.mark.django_db
def test_every_kind_of_set_gets_the_rules_of_its_club(club, coach, member) -> None:
    Club.objects.filter(pk=club.pk).update(**columns_of(UNUSUAL))
    for one in (club, coach.club, member.club):
        one.refresh_from_db()
    lesson = {"code": "base_turn", "scrambles": 2, "lengths": (4, 6), "now": NOON}
    daily = issue_of_series(series=club.first_series, day=TODAY, drawer=DRAWERS.daily, now=NOON)
    homework = make_homework(by=coach, opens_day=TODAY, days=2, **lesson)
    night = make_club_night(by=coach, day=TODAY, begins=time(20, 0), minutes=60, **lesson)
    for made in (daily, homework, night):
        assert made is not None
        made.refresh_from_db()
        assert made.rules == UNUSUAL
        assert head_of(made, NOON).colours == UNUSUAL.colours
        assert head_of(made, NOON).strict
    # Practice is for learning: its answers open at once, whatever the club's sets do.
    practice = prepare(membership=member, now=NOON)
    practice.refresh_from_db()
    # Nor does a time charge anything there.
    assert practice.rules == replace(UNUSUAL, answers_to=Sight.OWN_PLAN, timing=Timing.EITHER)


def test_sets_are_stored_in_one_place() -> None:
    # Who writes a row of a set elsewhere can forget a rule.
    found = set()
    for file in TRAINING.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr in {"create", "bulk_create"}:
                owner = ast.unparse(node.value)
                if owner.startswith("ScrambleSet.objects"):
                    found.add(str(file.relative_to(TRAINING)))
    assert found == set()
    source = (TRAINING / "services" / "sets.py").read_text(encoding="utf-8")
    assert source.count("save(force_insert=True)") == 1


CODES = st.sampled_from(["base_turn", "shared_turn", "step_aside"])


@examples(
    st.builds(
        PickedProfile,
        fresh=st.lists(st.none() | CODES).map(tuple),
        lengths=st.none() | st.tuples(st.integers(2, 4), st.integers(4, 8)),
        technique=st.none() | CODES,
        techniques=st.lists(CODES).map(tuple),
        calls=st.lists(st.none() | CODES).map(tuple),
    )
)
def test_a_profile_comes_back_from_its_stored_form(profile) -> None:
    assert PickedProfile.from_json(profile.to_json()) == profile


def test_profiles_stored_by_older_versions_are_read() -> None:
    # As services of version 0.1 wrote them.
    lesson = {"technique": "base_turn", "fresh": ["base_turn"] * 2, "lengths": [4, 6]}
    assert PickedProfile.from_json(lesson) == PickedProfile.of_lesson("base_turn", 2, (4, 6))
    practice = {
        "techniques": ["base_turn"],
        "fresh": ["base_turn"],
        "calls": ["step_aside", "base_turn"],
        "lengths": None,
    }
    assert PickedProfile.from_json(practice) == PickedProfile.of_practice(
        ("base_turn",), ("step_aside",), fresh=1
    )


def test_a_practice_knows_what_each_cross_calls_for() -> None:
    profile = PickedProfile.of_practice(("base_turn", "step_aside"), ("shared_turn",), fresh=3)
    assert profile.fresh == ("base_turn", "step_aside", "base_turn")
    assert [profile.called_by(number) for number in (1, 2, 3, 4, 5)] == [
        *("shared_turn", "base_turn", "step_aside", "base_turn"),
        None,
    ]
    assert PickedProfile.of_lesson("base_turn", 2, (4, 6)).called_by(1) is None


@pytest.mark.django_db
def test_a_set_as_drawn_is_drawn_to_nothing(given) -> None:
    assert given.a_set().drawn_to is None


# Words are no part of the database ------------------------------------------------


@pytest.mark.django_db
def test_a_mended_label_needs_no_migration(monkeypatch) -> None:
    colours = Club._meta.get_field("colours")
    target = Club._meta.get_field("technique_target")
    monkeypatch.setattr(colours, "verbose_name", "Which colours")
    monkeypatch.setattr(target, "help_text", "Another help")
    monkeypatch.setattr(Club._meta.get_field("spelling"), "choices", [("club", "as ever")])
    known = MigrationLoader(connection).project_state()
    now = ProjectState.from_apps(apps)
    assert "training" not in MigrationAutodetector(known, now)._detect_changes()
    monkeypatch.setattr(target, "null", True)
    now = ProjectState.from_apps(apps)
    assert "training" in MigrationAutodetector(known, now)._detect_changes()


@pytest.mark.django_db
def test_a_club_and_a_person_have_a_language_of_the_sites(club, member, settings) -> None:
    assert (club.language, member.person.language) == ("en", "")
    settings.LANGUAGES = [("en", "English"), ("es", "Español")]
    for row in (Club._meta.get_field("language"), Person._meta.get_field("language")):
        assert [code for code, _ in row.choices] == ["en", "es"]


def test_the_colours_are_stored_in_the_order_in_which_ties_are_broken() -> None:
    field = Club._meta.get_field("colours")
    assert field.to_python(["orange", "white", "orange", "blue"]) == ["white", "blue", "orange"]
    assert field.to_python(COLOURS[::-1]) == list(COLOURS)
    for wrong in ("pink", ["pink"], 7, {"white": 1}):
        with pytest.raises(ValidationError):
            field.to_python(wrong)


def test_sights_are_in_the_order_in_which_they_open() -> None:
    assert [one.is_before(Sight.CLOSING) for one in Sight] == [True, True, False, False]
    choices = ScrambleSet._meta.get_field("table_to").choices
    assert [value for value, _ in choices] == list(Sight)
