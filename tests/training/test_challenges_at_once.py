"""Two coaches at once, each with a connection of their own: one does it, the other is told.

How often each is tried is our own; that one of them wins is what the database's locks are for.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest
from django.db import connection

from tests.conftest import NOON, Given, make_membership
from tests.training.challenged import a_challenge, planned
from training.models import Challenge, Club, Confirmation, Correction, Question, Role
from training.refusals import NoLongerPossible
from training.services.confirming import confirm
from training.services.questions import answer, ask

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("clock")]


def at_once(*doing: Callable[[], object]) -> list[str]:
    """What came of each: ``done``, or the refusal."""
    found: list[str] = []
    start = threading.Barrier(len(doing))

    def one(act: Callable[[], object]) -> None:
        start.wait()
        try:
            act()
            found.append("done")
        except NoLongerPossible as refusal:
            found.append(refusal.message)
        finally:
            connection.close()

    threads = [threading.Thread(target=one, args=(act,)) for act in doing]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(found, key=lambda said: said != "done")


@pytest.fixture
def challenge(club: Club, given: Given) -> Challenge:
    made = a_challenge(club)
    for name in ("Ines", "Bashir"):
        planned(given, made, make_membership(club, name), ["D' R'"])
    return made


@pytest.mark.parametrize("attempt", range(3))
def test_two_coaches_confirm(club: Club, challenge: Challenge, attempt: int) -> None:
    coaches = [make_membership(club, name, Role.COACH) for name in ("Kari", "Odd")]
    found = at_once(
        *(lambda by=by: confirm(challenge=challenge, by=by, now=NOON) for by in coaches)
    )
    assert found[0] == "done"
    assert found[1].startswith(("This result is confirmed already", "Somebody has just"))
    assert Confirmation.objects.count() == 1
    assert Confirmation.objects.get().lines.count() == 2


@pytest.mark.parametrize("attempt", range(3))
def test_two_coaches_answer_with_a_correction_each(
    club: Club, given: Given, challenge: Challenge, attempt: int
) -> None:
    coaches = [make_membership(club, name, Role.COACH) for name in ("Kari", "Odd")]
    asker = challenge.scramble_set.scrambles.get(number=1).plans.all()[0].membership
    scramble = given.scramble(challenge.scramble_set)
    question = ask(by=asker, scramble=scramble, words="Why?", now=NOON)
    found = at_once(
        *(
            lambda by=by: answer(
                question=question,
                by=by,
                words=f"Says {by.display_name}.",
                correction="scramble_void",
                reason="misprinted",
                now=NOON,
            )
            for by in coaches
        )
    )
    assert found[0] == "done"
    question = Question.objects.select_related("answered_by").get()
    assert question.answered_by is not None
    assert question.answer == f"Says {question.answered_by.display_name}."
    assert question.answer in found[1]
    assert Correction.objects.count() == 1
