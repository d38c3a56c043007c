"""Requests made from the OpenAPI document, good and bad: no crash, no answer out of contract."""

from __future__ import annotations

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from hypothesis import HealthCheck, Phase, settings
from hypothesis import given as for_every
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from clubsite.wsgi import application
from tests.api.conftest import API
from tests.conftest import NOON

AGREEMENT = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
"""Whether what is sent is what the document says: status, media type, shape."""

OPERATIONS = [
    "sign_in",
    "sign_out",
    "me",
    "sets_now",
    "own_sets",
    "set",
    "set_table",
    "own_plan",
    "hand_in",
    "day_table",
    "week_table",
    "all_time_table",
    "coach_overview",
    "coach_set",
    "progress",
    "member_progress",
    "group_review",
]


@pytest.mark.django_db
@pytest.mark.parametrize("operation_id", OPERATIONS)
@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
def test_no_request_crashes_the_server_or_is_answered_out_of_contract(
    given_club, one_connection, schema, speaks_for, coach, operation_id: str, mode: GenerationMode
) -> None:
    token = speaks_for(coach)._credentials["HTTP_AUTHORIZATION"]
    operation = schema.find_operation_by_id(operation_id)
    places = {
        "slug": "lantern-street",
        "set_id": given_club.pk,
        "number": 1,
        "membership_id": coach.pk,
        "day": "2026-11-25",
    }

    @settings(
        max_examples=10,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @for_every(case=operation.as_strategy(generation_mode=mode), somewhere=st.booleans())
    def ask(case: schemathesis.Case, somewhere: bool) -> None:
        if somewhere:
            for name in set(places) & set(case.path_parameters):
                case.path_parameters[name] = places[name]
        response = case.call(headers={"Authorization": token})
        case.validate_response(response, checks=AGREEMENT)
        if response.status_code >= 400:
            kind = response.headers["content-type"][0]
            assert kind.startswith("application/problem+json"), response.text

    ask()


@pytest.fixture
def schema(db: None) -> schemathesis.schemas.BaseSchema:
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
