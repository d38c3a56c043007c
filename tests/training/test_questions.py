"""Questions to the coach: who asks, who reads, who answers. The rules are the club's own."""

from __future__ import annotations

import pytest

from tests.conftest import NOON, Given, make_membership
from tests.training.challenged import DAY, HOUR
from tests.web.conftest import reader_for
from training.challenging import MOST_WAITING
from training.models import LONGEST_QUESTION, Club, Membership, Question, Role
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.selectors.questions import (
    own_questions,
    question_for,
    questions_to_answer,
    waiting_count,
)
from training.services import erasing
from training.services.questions import answer, ask
from training.visibility import Sealed, require_question, sees_question

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]


def test_who_asked_and_the_coaches_read_it_and_nobody_else(
    given: Given, member: Membership, second: Membership, coach: Membership, outsider: Membership
) -> None:
    a_set = given.a_set()
    question = ask(by=member, scramble=given.scramble(a_set), words="Why?", now=NOON)
    assert [one.words for one in own_questions(member, NOON, set_id=a_set.pk)] == ["Why?"]
    assert own_questions(second, NOON, set_id=a_set.pk) == []
    assert [one.member for one in questions_to_answer(coach, NOON)] == ["Ines"]
    assert (waiting_count(coach, NOON), waiting_count(outsider, NOON)) == (1, 0)
    for who in (second, outsider):
        assert not sees_question(who, question, NOON)
        with pytest.raises(Sealed):
            question_for(who, question.pk, NOON)
        with pytest.raises(Sealed):
            require_question(who, question, NOON)
    for who in (member, second):
        with pytest.raises(Sealed):
            questions_to_answer(who, NOON)
        with pytest.raises(NotAllowed):
            answer(question=question, by=who, words="So.", now=NOON)
    with pytest.raises(NotAllowed):
        answer(question=question, by=outsider, words="So.", now=NOON)


def test_a_coach_who_competes_reads_of_a_set_once_it_has_closed(
    club: Club, given: Given, member: Membership
) -> None:
    """A question tells of answers, so it is sealed like plans."""
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    make_membership(club, "Kari", Role.COACH)
    a_set = given.a_set()
    question = ask(by=member, scramble=given.scramble(a_set), words="D' R' then?", now=NOON)
    assert questions_to_answer(rival, NOON) == []
    with pytest.raises(Sealed):
        answer(question=question, by=rival, words="So.", now=NOON)
    assert len(questions_to_answer(rival, a_set.closes_at)) == 1
    # Who stopped competing while it was open is still in it.
    type(rival).objects.filter(pk=rival.pk).update(competes=False, stopped_competing_at=NOON)
    rival.refresh_from_db()
    assert questions_to_answer(rival, NOON) == []


def test_nobody_answers_the_own_question_while_another_coach_could(
    club: Club, given: Given
) -> None:
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    other = make_membership(club, "Kari", Role.COACH)
    a_set = given.a_set(opens=NOON - 2 * DAY, closes=NOON - DAY)
    question = ask(by=rival, scramble=given.scramble(a_set), words="Why?", now=NOON)
    with pytest.raises(NotAllowed):
        answer(question=question, by=rival, words="So.", now=NOON)
    type(other).objects.filter(pk=other.pk).update(standing="archived")
    assert answer(question=question, by=rival, words="So.", now=NOON).answered_by == rival


def test_one_question_a_scramble_waits_and_so_many_in_all(
    given: Given, member: Membership, coach: Membership
) -> None:
    sets = [given.a_set(scrambles=("R D",) * 6, day=NOON.date() - n * DAY) for n in range(2)]
    scrambles = [given.scramble(one, n) for one in sets for n in range(1, 7)]
    first = ask(by=member, scramble=scrambles[0], words="Why?", now=NOON)
    with pytest.raises(NoLongerPossible):
        ask(by=member, scramble=scrambles[0], words="Why?", now=NOON)
    for one in scrambles[1:MOST_WAITING]:
        ask(by=member, scramble=one, words="Why?", now=NOON)
    with pytest.raises(NoLongerPossible):
        ask(by=member, scramble=scrambles[MOST_WAITING], words="Why?", now=NOON)
    answer(question=first, by=coach, words="So.", now=NOON)
    ask(by=member, scramble=scrambles[0], words="And then?", now=NOON + HOUR)


@pytest.mark.parametrize("words", ["", "   ", "x" * (LONGEST_QUESTION + 1), "a\x00b"])
def test_what_is_no_question(given: Given, member: Membership, words: str) -> None:
    with pytest.raises(InvalidEntry):
        ask(by=member, scramble=given.scramble(given.a_set()), words=words, now=NOON)


def test_nothing_is_asked_of_what_is_not_there(
    given: Given, member: Membership, outsider: Membership
) -> None:
    to_come = given.a_set(opens=NOON + DAY, closes=NOON + 2 * DAY)
    with pytest.raises(Sealed):
        ask(by=member, scramble=given.scramble(to_come), words="Why?", now=NOON)
    with pytest.raises(Sealed):
        ask(by=outsider, scramble=given.scramble(given.a_set()), words="Why?", now=NOON)


def test_an_erase_takes_what_was_asked_and_leaves_what_others_were_answered(
    given: Given, member: Membership, second: Membership, coach: Membership, owner: Membership
) -> None:
    a_set = given.a_set()
    ask(by=member, scramble=given.scramble(a_set), words="Why?", now=NOON)
    question = ask(by=second, scramble=given.scramble(a_set), words="And?", now=NOON)
    answer(question=question, by=coach, words="So.", now=NOON)
    erasing.erase_membership(by=owner, membership=member, typed="Ines", now=NOON)
    erasing.erase_membership(by=owner, membership=coach, typed="Kari", now=NOON)
    kept = Question.objects.get()
    assert (kept.words, kept.answer, kept.answered_by) == ("And?", "So.", None)


def test_it_is_asked_from_the_verdict_and_answered_on_a_page(
    given: Given, member: Membership, coach: Membership
) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D2 D R'")
    place = f"/c/lantern-street/sets/{a_set.pk}/1/"
    reader = reader_for(member).client
    assert f'href="{place}ask/"' in reader.get(place).content.decode()
    assert reader.post(f"{place}ask/", {"words": "Why the last?"}).status_code == 302
    of_coach = reader_for(coach).client
    page = of_coach.get("/c/lantern-street/coach/questions/").content.decode()
    assert "Why the last?" in page
    sent = {"question": str(Question.objects.get().pk), "answer": "Look at the edge."}
    assert of_coach.post("/c/lantern-street/coach/questions/", sent).status_code == 302
    verdict = reader.get(place).content.decode()
    assert "Look at the edge." in verdict
    assert "Kari answered" in verdict
