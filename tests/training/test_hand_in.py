"""Handing in a plan: what is stored, what is refused, and that nothing is stored then."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction

from tests.conftest import NOON, Given
from training import refusals
from training.entry import MOST_CHARACTERS, Entry
from training.models import Membership, Plan, PlanKind, PlanStatus, Standing
from training.selectors.plans import scramble_row
from training.services.corrections import withdraw_plan
from training.services.plans import hand_in
from training.visibility import Sealed

pytestmark = pytest.mark.django_db


def put(given: Given, who: Membership, a_set, written: str = "D' R'", number: int = 1, **more):
    more.setdefault("key", uuid.uuid4())
    more.setdefault("now", NOON)
    entry = Entry.of(
        written,
        no_plan=more.pop("no_plan", False),
        cross_is_solved=more.pop("cross_is_solved", False),
        lower_case_meant=more.pop("lower_case_meant", False),
    )
    return hand_in(membership=who, scramble=given.scramble(a_set, number), entry=entry, **more).plan


def test_a_plan_waits_as_a_row_with_what_was_typed_and_how_it_was_read(given, member) -> None:
    plan = put(given, member, given.a_set(), "D’ (R3) // mine")
    plan.refresh_from_db()
    assert plan.status == PlanStatus.WAITING
    assert plan.written == "D’ (R3) // mine"
    assert plan.canonical == "D' R'"
    assert plan.attempts == 0


def test_the_bell_rings_after_the_commit_and_not_before(
    given, member, monkeypatch, django_capture_on_commit_callbacks
) -> None:
    rung: list[int] = []
    monkeypatch.setattr("training.dispatch.ring", rung.append)
    with django_capture_on_commit_callbacks(execute=True):
        plan = put(given, member, given.a_set())
        assert rung == []
    assert rung == [plan.pk]


def test_a_bell_that_fails_does_not_fail_the_hand_in(
    given, member, monkeypatch, django_capture_on_commit_callbacks
) -> None:
    def broken(*args: object, **kwargs: object) -> None:
        raise ConnectionError("no broker")

    monkeypatch.setattr("celery.app.base.Celery.send_task", broken)
    with django_capture_on_commit_callbacks(execute=True):
        plan = put(given, member, given.a_set())
    assert Plan.objects.get(pk=plan.pk).status == PlanStatus.WAITING


def test_the_same_key_and_plan_give_the_first_answer_again(given, member) -> None:
    a_set, key = given.a_set(), uuid.uuid4()
    first = put(given, member, a_set, key=key)
    again = put(given, member, a_set, key=key, now=NOON + timedelta(minutes=5))
    assert again.pk == first.pk
    assert Plan.objects.count() == 1


def test_the_same_key_gives_the_first_answer_after_closing_too(given, member) -> None:
    a_set, key = given.a_set(), uuid.uuid4()
    first = put(given, member, a_set, key=key)
    late = a_set.closes_at + timedelta(hours=1)
    assert put(given, member, a_set, key=key, now=late).pk == first.pk


def test_the_same_key_with_another_plan_is_refused_and_shows_the_first(given, member) -> None:
    a_set, key = given.a_set(), uuid.uuid4()
    put(given, member, a_set, key=key)
    with pytest.raises(refusals.KeyReused, match="D' R'") as refused:
        put(given, member, a_set, "R U F", key=key)
    assert refused.value.status == 409
    assert refused.value.extras["plan"].canonical == "D' R'"


def test_the_same_key_for_another_scramble_is_refused(given, member) -> None:
    a_set, key = given.a_set(), uuid.uuid4()
    put(given, member, a_set, key=key)
    with pytest.raises(refusals.KeyReused):
        put(given, member, a_set, number=2, key=key)


def test_a_second_plan_for_the_same_scramble_is_refused_and_shows_the_first(given, member) -> None:
    a_set = given.a_set()
    put(given, member, a_set)
    with pytest.raises(refusals.PlanIsFinal, match="D' R'") as refused:
        put(given, member, a_set, "R U F")
    assert refused.value.status == 409


def test_a_withdrawn_plan_still_bars_a_second_one(given, member, coach) -> None:
    a_set = given.a_set()
    withdraw_plan(plan=put(given, member, a_set), by=coach, reason="typed for a friend")
    with pytest.raises(refusals.PlanIsFinal):
        put(given, member, a_set, "R U F")


def test_a_race_for_one_scramble_is_decided_by_the_database(given, member) -> None:
    a_set = given.a_set()
    put(given, member, a_set)
    twin = {"scramble": given.scramble(a_set), "membership": member, "key": uuid.uuid4()}
    with pytest.raises(IntegrityError), transaction.atomic():
        Plan.objects.create(**twin)


@pytest.mark.parametrize(
    ("written", "kind", "position"),
    [
        ("D R4", "suffix", 2),
        ("D q R", "unknown", 2),
        ("D 🙂 R", "unknown", 2),
        ("' D", "stray", 0),
        ("(D R", "bracket", 0),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place_and_not_stored(
    given, member, written, kind, position
) -> None:
    with pytest.raises(refusals.UnreadablePlan) as refused:
        put(given, member, given.a_set(), written)
    assert (refused.value.extras["kind"], refused.value.extras["position"]) == (kind, position)
    assert refused.value.field == "plan"
    assert not Plan.objects.exists()


def test_strict_sets_refuse_club_spelling(given, member) -> None:
    with pytest.raises(refusals.UnreadablePlan) as refused:
        put(given, member, given.a_set(spelling="strict"), "R3 D")
    assert refused.value.extras["kind"] == "not_in_strict"


def test_eighty_written_moves_are_taken_and_eighty_one_are_not(given, member) -> None:
    # WCA E2d1: at most 80 moves in ETM.
    a_set = given.a_set()
    with pytest.raises(refusals.PlanTooLong, match="80"):
        put(given, member, a_set, "U D " * 40 + "x")
    assert put(given, member, a_set, "U D " * 40).canonical.count(" ") == 79


def test_a_megabyte_is_refused_at_once(given, member) -> None:
    with pytest.raises(refusals.PlanTooLong, match=f"{MOST_CHARACTERS:,}"):
        put(given, member, given.a_set(), "R " * 500_000)


def test_an_invisible_character_is_refused_even_in_a_comment(given, member) -> None:
    with pytest.raises(refusals.UnreadablePlan, match="place 7"):
        put(given, member, given.a_set(), "D // a\0b")


def test_all_in_lower_case_is_asked_once(given, member) -> None:
    a_set = given.a_set()
    with pytest.raises(refusals.LowerCasePlan) as asked:
        put(given, member, a_set, "r u r'")
    assert asked.value.extras["as_face_turns"] == "R U R'"
    assert put(given, member, a_set, "r u r'", lower_case_meant=True).canonical == "Rw Uw Rw'"


def test_an_empty_plan_needs_one_of_the_two_choices(given, member) -> None:
    a_set = given.a_set()
    with pytest.raises(refusals.EmptyPlan):
        put(given, member, a_set, "  // nothing yet")
    assert put(given, member, a_set, "", no_plan=True).kind == PlanKind.NO_PLAN
    solved = put(given, member, a_set, "", number=2, cross_is_solved=True)
    assert (solved.kind, solved.canonical) == (PlanKind.MOVES, "")


@pytest.mark.parametrize("choice", ["no_plan", "cross_is_solved"])
def test_moves_and_an_empty_plan_at_once_are_refused(given, member, choice) -> None:
    with pytest.raises(refusals.InvalidEntry, match="There are moves"):
        put(given, member, given.a_set(), "R", **{choice: True})


def test_a_set_that_has_not_opened_is_not_there(given, member) -> None:
    a_set = given.a_set(opens=NOON + timedelta(seconds=1))
    with pytest.raises(Sealed):
        put(given, member, a_set)
    assert put(given, member, a_set, now=a_set.opens_at).pk


def test_a_closed_set_takes_no_plan(given, member) -> None:
    a_set = given.a_set()
    with pytest.raises(refusals.SetClosed) as refused:
        put(given, member, a_set, now=a_set.closes_at)
    assert refused.value.status == 409
    assert put(given, member, a_set, now=a_set.closes_at - timedelta(microseconds=1)).pk


def test_another_clubs_set_is_not_there(given, outsider) -> None:
    with pytest.raises(Sealed):
        put(given, outsider, given.a_set())


def test_an_account_that_is_not_open_hands_nothing_in(given, member) -> None:
    member.standing = Standing.ARCHIVED
    with pytest.raises(refusals.NotAllowed):
        put(given, member, given.a_set())


def test_what_is_in_already_is_said_before_what_is_wrong_with_the_new_one(given, member) -> None:
    a_set = given.a_set()
    put(given, member, a_set)
    late = a_set.closes_at + timedelta(hours=1)
    for written, now in (("D q R", NOON), ("R U F", late), ("", late)):
        with pytest.raises(refusals.PlanIsFinal, match="D' R'"):
            put(given, member, a_set, written, now=now)


def test_the_same_key_for_another_scramble_is_refused_after_closing_too(given, member) -> None:
    a_set, key = given.a_set(), uuid.uuid4()
    put(given, member, a_set, key=key)
    late = a_set.closes_at + timedelta(hours=1)
    with pytest.raises(refusals.KeyReused):
        put(given, member, a_set, number=2, key=key, now=late)


def test_handing_in_is_one_statement_and_the_row_alone_decides(
    given, member, django_assert_num_queries
) -> None:
    a_set = given.a_set()
    # As the page and the API find it: with the answer to whether the set is given to the member.
    scramble = scramble_row(member, a_set.pk, 1, NOON)
    savepoints = 2 if connection.features.uses_savepoints else 0
    with django_assert_num_queries(1 + savepoints):
        hand_in(membership=member, scramble=scramble, entry=Entry("D"), key=uuid.uuid4(), now=NOON)
