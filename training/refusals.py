"""What is refused, in words for the person who asked.

Each refusal carries a ``code`` for programs, a sentence for people that says
what to do, and the HTTP status that fits. Pages and API show the same words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


class Refusal(Exception):
    """Base of all refusals. ``field`` names the entry it is about, if any.

    ``extras``: what a page or a program needs beside the words, such as the plan
    that counts.
    """

    code: ClassVar[str] = "refused"
    status: ClassVar[int] = 400
    title: ClassVar[StrOrPromise] = _("Not done")

    def __init__(self, message: str, *, field: str | None = None, **extras: Any) -> None:
        super().__init__(message)
        self.message = message
        self.field = field
        self.extras = extras


class NotAllowed(Refusal):
    code = "not_allowed"
    status = 403
    title = _("Not allowed")


class ScopeMissing(NotAllowed):
    """``extras``: ``scope``, the one that the token would need."""

    code = "scope_missing"
    title = _("The token does not reach so far")


class WrongSignIn(Refusal):
    code = "wrong_sign_in"
    status = 401
    title = _("That did not match")


class LockedOut(Refusal):
    code = "locked_out"
    status = 429
    title = _("Too many tries")


class InvalidEntry(Refusal):
    code = "invalid_entry"
    status = 400
    title = _("This entry cannot be used")


class NoLongerPossible(Refusal):
    code = "no_longer_possible"
    status = 409
    title = _("No longer possible")


class PlanChanged(Refusal):
    """Somebody else has planned the same week meanwhile."""

    code = "plan_changed"
    status = 409
    title = _("Changed in the meantime")


class LinkUsedUp(Refusal):
    code = "link_used_up"
    status = 410
    title = _("This link no longer works")


class UnreadablePlan(Refusal):
    """``extras``: kind, token, position (from 0), as the parser gave them."""

    code = "unreadable_plan"
    status = 400
    title = _("The plan cannot be read")


class PlanTooLong(UnreadablePlan):
    code = "plan_too_long"


class EmptyPlan(Refusal):
    code = "empty_plan"
    status = 400
    title = _("The plan is empty")


class LowerCasePlan(Refusal):
    """``extras``: ``as_face_turns``, the plan with face turns in place of outer blocks."""

    code = "all_lower_case"
    status = 400
    title = _("All in lower case")


class SetClosed(Refusal):
    code = "set_closed"
    status = 409
    title = _("The set has closed")


class PlanIsFinal(Refusal):
    """``extras``: ``plan``, the one that counts."""

    code = "plan_is_final"
    status = 409
    title = _("A plan is already in")


class KeyReused(PlanIsFinal):
    code = "key_reused"
    title = _("That key was used for another plan")
