"""Requests made from the OpenAPI document, good and bad: no crash, no answer out of contract."""

from __future__ import annotations

from datetime import date

import pytest
import schemathesis
from django.core.cache import cache
from django.core.signals import request_finished, request_started
from django.db import close_old_connections, transaction
from pytest_django import DjangoDbBlocker
from schemathesis import GenerationMode

from clubsite.wsgi import application
from tests.api.conftest import API
from tests.api.contract import OF_OWNERS, OPERATIONS, ask_many
from tests.conftest import NOON
from tests.training.challenged import in_each_state
from training.models import Delivery, Question, Season, WebHook
from training.selectors import planning


@pytest.mark.django_db
@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
def test_no_request_crashes_the_server_or_is_answered_out_of_contract(
    given_club,
    around_challenges,
    one_connection,
    schema,
    speaks_for,
    around_weeks,
    coach,
    owner,
    mode: GenerationMode,
) -> None:
    """Of every operation; each finds the club as it was made once, and all that fail are told."""
    tokens = {who: speaks_for(who)._credentials["HTTP_AUTHORIZATION"] for who in (owner, coach)}
    places = {
        "slug": "lantern-street",
        "set_id": given_club.pk,
        "correction_id": 1,
        **around_challenges,
        **around_weeks,
        "membership_id": coach.pk,
        "day": "2026-11-25",
    }
    faults: list[Exception] = []
    for operation_id in OPERATIONS:
        cache.clear()  # how often somebody asked
        again = operation_id == "try_delivery_again"
        mirrored = operation_id == "habit_lesson"
        try:
            with transaction.atomic():
                statuses = ask_many(
                    schema,
                    operation_id,
                    mode,
                    examples=10,
                    places={
                        **places,
                        "number": around_weeks["message"] if again else 1,
                        "code": "mirrored" if mirrored else "base_turn",
                    },
                    authorization=lambda by=operation_id: tokens[
                        owner if by in OF_OWNERS else coach
                    ],
                )
                transaction.set_rollback(True)
            assert statuses
        except Exception as fault:
            fault.add_note(f"{operation_id}, {mode}")
            faults.append(fault)
    if faults:
        raise ExceptionGroup("Some operations fail.", faults)


@pytest.mark.django_db
def test_what_is_kept_of_a_plan_not_checked_yet_is_as_the_document_says(
    given_club, given, one_connection, schema, speaks_for, member
) -> None:
    given.a_plan(member, given_club, 2, "R", checked=False, at=NOON)
    token = speaks_for(member)._credentials["HTTP_AUTHORIZATION"]
    statuses = ask_many(
        schema,
        "my_data",
        GenerationMode.POSITIVE,
        examples=1,
        places={},
        authorization=lambda: token,
    )
    assert statuses == [200]


@pytest.fixture(scope="module")
def schema(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> schemathesis.schemas.BaseSchema:
    """The document as the site gives it, made once: it is the same for everybody."""
    with django_db_blocker.unblock():
        return schemathesis.openapi.from_wsgi(f"{API}openapi.json", application)


def test_every_operation_is_asked(client, db) -> None:
    paths = client.get(f"{API}openapi.json").json()["paths"]
    documented = {one["operationId"] for path in paths.values() for one in path.values()}
    assert documented == set(OPERATIONS)


@pytest.fixture
def given_club(given, member):
    """A set with a plan in it, so that addresses lead somewhere."""
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D' R'", at=NOON)
    return a_set


@pytest.fixture
def around_challenges(given, given_club, coach, member, second):
    """A challenge that is open for questions, one of which waits, in its season."""
    found = in_each_state(given, coach, member, second)
    return {
        "challenge_id": found["questions"].pk,
        "season_id": Season.objects.get().pk,
        "question_id": Question.objects.waiting().get().pk,
    }


@pytest.fixture
def around_weeks(club, coach, given_club):
    """A series, the week as it stands, and a web hook with a message that was given up."""
    hook = WebHook.objects.create(club=club, address="https://hook.example/", events=["confirmed"])
    message = Delivery.objects.create(
        hook=hook, event="confirmed", scramble_set=given_club, happened_at=NOON, tries=7
    )
    return {
        "series_id": club.first_series.pk,
        "version": planning.week(coach, date(2026, 11, 23), NOON).version,
        "hook_id": hook.pk,
        "message": str(message.number),
    }


@pytest.fixture
def one_connection():
    """A request may not close the connection in whose transaction the test stands.

    Django's own test client sees to the same.
    """
    signals = (request_started, request_finished)
    for signal in signals:
        signal.disconnect(close_old_connections)
    yield
    for signal in signals:
        signal.connect(close_old_connections)
