"""Asks what the OpenAPI document allows and what it forbids, and holds the answers against it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import schemathesis
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
    "every_set",
    "plan_afterwards",
    "set",
    "set_table",
    "timed_plans",
    "own_plan",
    "hand_in",
    "day_table",
    "week_table",
    "all_time_table",
    "coach_overview",
    "coach_set",
    "progress",
    "member_progress",
    "member_data",
    "my_data",
    "club_log",
    "corrections",
    "correct",
    "undo_correction",
    "groups",
    "make_group",
    "change_group",
    "move_members",
    "paste_people",
    "challenges",
    "announce_challenge",
    "challenge",
    "confirm_challenge",
    "seasons",
    "season",
    "confirm_season",
    "own_questions",
    "ask",
    "questions",
    "answer_question",
    "call_off_challenge",
    "make_season",
    "change_season",
    "remove_season",
    "posts",
    "post",
    "make_post",
    "worth_a_word",
    "public_address",
    "publish_posts",
    "unpublish_posts",
    "all_series",
    "start_series",
    "series",
    "change_series",
    "week",
    "add_planned_set",
    "change_planned_set",
    "set_day_off",
    "copy_last_week",
    "note_holidays",
    "hooks",
    "make_hook",
    "end_hook",
    "renew_hook_secret",
    "hook_deliveries",
    "try_delivery_again",
    "group_review",
    "idea_lesson",
    "habit_lesson",
    "improvements",
    "coach_improvements",
]

OF_OWNERS = [one for one in OPERATIONS if "hook" in one or one.endswith(("_address", "_posts"))]
"""Those that only an owner may."""


def ask_many(
    schema: schemathesis.schemas.BaseSchema,
    operation_id: str,
    mode: GenerationMode,
    *,
    examples: int,
    places: Mapping[str, object],
    authorization: Callable[[], str],
) -> list[int]:
    """The statuses of ``examples`` requests to one operation, each answer held to the document.

    ``places``: what path parameters are about in half of the requests, so that they lead
    somewhere. ``authorization``: the header of the next request.
    """
    operation = schema.find_operation_by_id(operation_id)
    statuses: list[int] = []

    @settings(
        max_examples=examples,
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
            if isinstance(case.body, dict) and "version" in case.body:
                case.body["version"] = places.get("version", case.body["version"])
        # What is compared is the answer, not how it was packed on its way.
        headers = {"Authorization": authorization(), "Accept-Encoding": "identity"}
        response = case.call(headers=headers)
        statuses.append(response.status_code)
        case.validate_response(response, checks=AGREEMENT)
        if response.status_code >= 400:
            kind = response.headers["content-type"][0]
            assert kind.startswith("application/problem+json"), response.text

    ask()
    return statuses
