"""What a service refuses, in words for the person who asked.

Each refusal carries a ``code`` for programs, a sentence for people that says
what to do, and the HTTP status that fits. Pages and API show the same words.
"""

from __future__ import annotations

from typing import Any, ClassVar


class Refusal(Exception):
    """Base of all refusals. ``field`` names the entry it is about, if any."""

    code: ClassVar[str] = "refused"
    status: ClassVar[int] = 400
    title: ClassVar[str] = "Not done"

    def __init__(self, message: str, *, field: str | None = None, **facts: Any) -> None:
        super().__init__(message)
        self.message = message
        self.field = field
        self.facts = facts


class NotAllowed(Refusal):
    code = "not_allowed"
    status = 403
    title = "Not allowed"


class InvalidEntry(Refusal):
    code = "invalid_entry"
    status = 400
    title = "Something to mend"


class LinkUsedUp(Refusal):
    code = "link_used_up"
    status = 410
    title = "This link no longer works"


class UnreadablePlan(Refusal):
    """``facts``: kind, token, position (from 0), as the parser gave them."""

    code = "unreadable_plan"
    status = 400
    title = "The plan cannot be read"


class PlanTooLong(UnreadablePlan):
    code = "plan_too_long"


class EmptyPlan(Refusal):
    code = "empty_plan"
    status = 400
    title = "The plan is empty"


class LowerCasePlan(Refusal):
    """``facts``: ``as_face_turns``, the plan with face turns in place of outer blocks."""

    code = "all_lower_case"
    status = 400
    title = "All in lower case"


class SetClosed(Refusal):
    code = "set_closed"
    status = 409
    title = "The set has closed"


class PlanIsFinal(Refusal):
    """``facts``: ``plan``, the one that counts."""

    code = "plan_is_final"
    status = 409
    title = "A plan is already in"


class KeyReused(PlanIsFinal):
    code = "key_reused"
    title = "That key was used for another plan"
