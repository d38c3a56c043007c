"""A spare in the place of a scramble that was taken out, and sets kept open longer.

A spare drawn with the set and used only where a scramble failed: after the extra scrambles of
WCA 4g, from memory; that it is put in only while the set is open is the club's own rule.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from solverworker.cube.draw import Drawing
from tests.conftest import NOON
from training import visibility
from training.models import Club, Correction, Membership, Scramble, ScrambleSet
from training.refusals import InvalidEntry, NoLongerPossible
from training.selectors import tables
from training.selectors.corrections import notes_of, spare_places
from training.selectors.plans import State, set_for
from training.selectors.set_heads import head_of
from training.services import correction_states, corrections, summaries
from training.services.issuing import issue_of_series

pytestmark = pytest.mark.django_db

HOUR = timedelta(hours=1)
SPARE = "B R"


@pytest.fixture
def a_set(given) -> ScrambleSet:
    return given.a_set(scrambles=("R D", "D R", "R F"), spare=SPARE)


def void(given, coach, a_set, number: int = 2, **fields) -> Correction:
    return corrections.void_scramble(
        scramble=given.scramble(a_set, number), by=coach, reason="misprinted", now=NOON, **fields
    )


def put_in(given, coach, a_set, number: int = 2, now=NOON) -> Correction:
    return corrections.put_spare(
        scramble=given.scramble(a_set, number), by=coach, reason="misprinted", now=now
    )


def texts(a_set: ScrambleSet) -> list[str]:
    return list(Scramble.objects.filter(scramble_set=a_set).values_list("text", flat=True))


def test_a_daily_set_is_drawn_with_a_spare_that_nobody_sees(club: Club, member) -> None:
    asked: list[int] = []

    def drawer(count: int) -> Drawing:
        asked.append(count)
        return Drawing("random_state", "seed", tuple(f"R{n}" for n in range(count)))

    issued = issue_of_series(series=club.first_series, day=NOON.date(), drawer=drawer, now=NOON)
    assert asked == [6]
    assert issued.spare == "R5"
    assert texts(issued) == ["R0", "R1", "R2", "R3", "R4"]
    view = set_for(member, issued.pk, NOON)
    assert "R5" not in str(view)


def test_the_spare_comes_last_and_counts_for_everybody(given, coach, member, a_set) -> None:
    for number, plan in ((1, "D' R'"), (2, "U"), (3, "F' R'")):
        given.a_plan(member, a_set, number, plan)
    assert spare_places(coach, a_set.pk, NOON) == []
    void(given, coach, a_set)
    assert spare_places(coach, a_set.pk, NOON) == [2]
    put_in(given, coach, a_set)
    assert spare_places(coach, a_set.pk, NOON) == []
    assert texts(a_set)[3] == SPARE
    view = set_for(member, a_set.pk, NOON)
    assert [one.state for one in view.scrambles][1::2] == [State.VOID, State.TO_PLAN]
    assert not view.table_open
    said = [(one.kind, one.number, one.stands_for) for one in notes_of([a_set.pk])]
    assert said == [("scramble_void", 2, None), ("spare", 4, 2)]
    given.a_plan(member, a_set, 4, "R' B'")
    table = tables.set_table(member, a_set.pk, NOON)
    assert [cell.state for cell in table.rows[0].cells] == ["solved", "void", "solved", "solved"]
    assert (table.rows[0].score.points, table.rows[0].score.crosses) == (0, 3)
    assert summaries.differences() == []
    assert correction_states.differences_of_set(a_set.pk) == []


def test_a_spare_is_put_in_once_for_a_void_scramble_while_the_set_is_open(
    given, coach, a_set
) -> None:
    with pytest.raises(NoLongerPossible, match="only while the set is open"):
        put_in(given, coach, a_set)
    void(given, coach, a_set)
    with pytest.raises(NoLongerPossible, match="only while the set is open"):
        put_in(given, coach, a_set, now=a_set.closes_at)
    put_in(given, coach, a_set)
    void(given, coach, a_set, 3)
    with pytest.raises(NoLongerPossible, match="once in a set"):
        put_in(given, coach, a_set, 3)
    assert len(texts(a_set)) == 4


def test_what_a_spare_rests_on_stands_as_long_as_it_does(given, coach, member, a_set) -> None:
    out = void(given, coach, a_set)
    spare = put_in(given, coach, a_set)
    with pytest.raises(NoLongerPossible, match=f"Entry {spare.pk} rests"):
        corrections.undo(correction=out, by=coach, reason="x", now=NOON)
    plan = given.a_plan(member, a_set, 4, "R' B'")
    withdrawn = corrections.withdraw_plan(plan=plan, by=coach, reason="x", now=NOON)
    with pytest.raises(NoLongerPossible, match=f"Entry {withdrawn.pk} rests"):
        corrections.undo(correction=spare, by=coach, reason="x", now=NOON)
    corrections.undo(correction=withdrawn, by=coach, reason="x", now=NOON)
    back = corrections.undo(correction=spare, by=coach, reason="not needed", now=NOON)
    assert Scramble.objects.get(scramble_set=a_set, number=4).void
    corrections.undo(correction=out, by=coach, reason="it was right", now=NOON)
    # Two for one place is more than the set has.
    with pytest.raises(NoLongerPossible, match="too late"):
        corrections.undo(correction=back, by=coach, reason="x", now=NOON)
    assert correction_states.differences_of_set(a_set.pk) == []
    assert summaries.differences() == []


def test_a_spare_taken_back_is_put_in_again_only_while_the_set_is_open(given, coach, a_set) -> None:
    void(given, coach, a_set)
    back = corrections.undo(correction=put_in(given, coach, a_set), by=coach, reason="x", now=NOON)
    with pytest.raises(NoLongerPossible, match="too late"):
        corrections.undo(correction=back, by=coach, reason="x", now=a_set.closes_at)
    corrections.undo(correction=back, by=coach, reason="x", now=NOON)
    assert not Scramble.objects.get(scramble_set=a_set, number=4).void


def test_a_set_is_kept_open_longer_by_a_day_at_most(given, coach, member, a_set) -> None:
    before = a_set.closes_at
    for until in (before, before + 25 * HOUR):
        with pytest.raises(InvalidEntry, match="by a day at most"):
            corrections.keep_open(scramble_set=a_set, until=until, by=coach, reason="x", now=NOON)
    entry = corrections.keep_open(
        scramble_set=a_set, until=before + 2 * HOUR, by=coach, reason="no light", now=NOON
    )
    a_set.refresh_from_db()
    assert a_set.closes_at == before + 2 * HOUR
    assert notes_of([a_set.pk])[0].until == a_set.closes_at
    given.a_plan(member, a_set, 1, "D' R'", at=before + HOUR)
    # Hours that have begun are not taken away.
    with pytest.raises(NoLongerPossible, match="too late"):
        corrections.undo(correction=entry, by=coach, reason="x", now=before + HOUR)


def test_hours_that_have_not_begun_are_taken_back(coach, a_set) -> None:
    before = a_set.closes_at
    entry = corrections.keep_open(
        scramble_set=a_set, until=before + HOUR, by=coach, reason="no light", now=NOON
    )
    corrections.undo(correction=entry, by=coach, reason="light", now=NOON)
    a_set.refresh_from_db()
    assert a_set.closes_at == before


def test_a_set_kept_open_longer_stays_in_its_day_and_its_week(
    given, club, coach, member, second
) -> None:
    # The set of a Sunday, open to midnight in Oslo; kept open until two on Monday morning.
    begins = datetime(2026, 11, 28, 23, tzinfo=UTC)
    sunday, monday = date(2026, 11, 29), date(2026, 11, 30)
    a_set = given.a_set(opens=begins, closes=begins + 24 * HOUR)
    given.a_plan(member, a_set, 1, "D' R'", at=begins + HOUR)
    until, later = a_set.closes_at + 2 * HOUR, a_set.closes_at + 3 * HOUR
    entry = corrections.keep_open(
        scramble_set=a_set, until=until, by=coach, reason="no light", now=begins + HOUR
    )

    def stands() -> list[int]:
        tables_of = (
            tables.day_table(coach, sunday, later),
            tables.week_table(coach, sunday, later),
            tables.day_table(coach, monday, later),
            tables.week_table(coach, monday, later),
        )
        return [len(table.sets) for table in tables_of]

    assert stands() == [1, 1, 0, 0]
    assert correction_states.differences_of_set(a_set.pk) == []
    ScrambleSet.objects.filter(pk=a_set.pk).update(closes_at=until + HOUR)
    assert correction_states.differences_of_set(a_set.pk) == [f"correction of set {a_set.pk}"]
    correction_states.renew(set_id=a_set.pk)
    assert correction_states.differences_of_set(a_set.pk) == []
    assert tables.days_around(coach, monday, later) == (sunday, None)
    a_set.refresh_from_db()
    assert head_of(a_set, later).closing_day == sunday
    # It is told in no review before it has closed, although its day is over.
    for now, told in ((until - HOUR, []), (until, [a_set])):
        assert list(visibility.reviewed_sets(coach, begins, now)) == told
    corrections.undo(correction=entry, by=coach, reason="light", now=begins + HOUR)
    assert stands() == [1, 1, 0, 0]
    a_set.refresh_from_db()
    assert a_set.due_at == a_set.closes_at


def test_members_are_told_on_the_page_and_a_coach_does_both_in_one_form(
    client, clock, given, coach: Membership, member: Membership, a_set
) -> None:
    clock(NOON)
    void(given, coach, a_set)
    backend = "training.services.backends.PhraseBackend"
    client.force_login(coach.person, backend=backend)
    address = f"/c/lantern-street/coach/sets/{a_set.pk}/correct/"
    assert "Put the spare in" in client.get(address).content.decode()
    wrong = client.post(address, {"do": "spare", "place": "2", "hours": "30", "reason": "x"})
    assert (wrong.status_code, "24 at most" in wrong.content.decode()) == (400, True)
    sent = {"do": "spare", "place": "2", "hours": "2", "reason": "misprinted"}
    assert client.post(address, sent).status_code == 302
    client.force_login(member.person, backend=backend)
    said = client.get("/c/lantern-street/today/").content.decode()
    assert "Scramble 4 stands in place of scramble 2." in said
    assert "closes" in said
    assert Correction.objects.filter(kind="kept_open").count() == 1
