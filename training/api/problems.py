"""The kinds of problem that the API answers with: the one list of their codes (RFC 9457).

Each has a page at its ``type`` address, made from what stands here. A refusal
of a service brings its code, title and status along; the API's own problems
have theirs here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext_lazy as _

from training import refusals
from training.refusals import Refusal

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

MEDIA_TYPE = "application/problem+json"
ROOT = "/api/v1/problems/"
"""Where the pages stand. An address is what a program knows a problem by: it never changes."""


@dataclass(frozen=True, slots=True)
class ProblemType:
    """One kind of problem. ``meaning`` and ``way_out`` are for the page: sentences for people."""

    code: str
    title: StrOrPromise
    status: int
    meaning: StrOrPromise
    way_out: StrOrPromise

    @property
    def address(self) -> str:
        return ROOT + self.code

    def body(self, detail: StrOrPromise, **more: Any) -> dict[str, Any]:
        """The members of a problem details object (RFC 9457, section 3.1)."""
        return {
            "type": self.address,
            "title": str(self.title),
            "status": self.status,
            "detail": str(detail),
            **more,
        }


def _of(refusal: type[Refusal], meaning: StrOrPromise, way_out: StrOrPromise) -> ProblemType:
    return ProblemType(refusal.code, refusal.title, refusal.status, meaning, way_out)


_SIGNING_IN = (
    ProblemType(
        "not_authenticated",
        _("Sign in first"),
        401,
        _("Only somebody who is signed in gets an answer here, and the request named nobody."),
        _(
            "Send the header Authorization with the word Bearer and a token. Name and pass phrase, "
            "sent to /api/v1/tokens/, give one."
        ),
    ),
    ProblemType(
        "authentication_failed",
        _("The token is not valid"),
        401,
        _(
            "The request came with a token that opens nothing: it was misspelt, it has run out, or "
            "it was ended by signing out or by a new pass phrase."
        ),
        _("Sign in again at /api/v1/tokens/ and send the new token."),
    ),
    _of(
        refusals.WrongSignIn,
        _("Sign-in name and pass phrase do not match. Which of them is wrong is not told."),
        _("Check both. Whoever forgot the phrase gets a one-time code from a coach."),
    ),
    _of(
        refusals.LockedOut,
        _("Too many tries to sign in failed, under this name or from this network."),
        _("Wait a quarter of an hour. For a name, a coach’s one-time code opens it at once."),
    ),
    ProblemType(
        "permission_denied",
        _("The page’s own mark is missing"),
        403,
        _(
            "The request came with the session of a browser and wants to change something, but "
            "without the mark (CSRF token) by which a page of this site shows that it is its own."
        ),
        _("A program signs in at /api/v1/tokens/ and sends its token in place of a session."),
    ),
    _of(
        refusals.ScopeMissing,
        _("The token was made for less than this; scope names what it would need."),
        _(
            "Make another token that may do it: send scopes when you sign in, or choose them on "
            "the page “Where you are signed in”."
        ),
    ),
    _of(
        refusals.NotAllowed,
        _("You are known, and what you asked for is not for you: detail says whose it is."),
        _("Ask a coach of the club, or the owner where it is theirs."),
    ),
)

_ADDRESSES = (
    ProblemType(
        "not_found",
        _("Not found"),
        404,
        _(
            "Nothing is at this address for you now. A set that has not opened, a plan of somebody "
            "else and another club’s things look the same as what does not exist."
        ),
        _("Check the address. A set is there from the moment it opens."),
    ),
    ProblemType(
        "method_not_allowed",
        _("This address does not take that method"),
        405,
        _("The address exists, but not for the method of the request, such as PUT."),
        _("Use one of the methods in the header Allow of the answer."),
    ),
    ProblemType(
        "not_acceptable",
        _("There is no such answer"),
        406,
        _("The header Accept asks for something other than this address has: JSON, as a rule."),
        _("Leave Accept out, or let it name application/json."),
    ),
    _of(
        refusals.LinkUsedUp,
        _("The link has been used, withdrawn or has run out."),
        _("Ask whoever gave it to you for a new one."),
    ),
)

_BODIES = (
    ProblemType(
        "bad_request",
        _("This request cannot be read"),
        400,
        _("The request is not one to this site: its host or a header is not what it should be."),
        _("Check the address, its host and the headers."),
    ),
    ProblemType(
        "parse_error",
        _("This is not JSON"),
        400,
        _("What was sent cannot be read as JSON; detail says where reading stopped."),
        _("Mend the place and send it again. Any JSON library writes it right."),
    ),
    ProblemType(
        "unsupported_media_type",
        _("Send JSON"),
        415,
        _("The header Content-Type names what was sent as something other than JSON."),
        _("Send JSON, with the header Content-Type: application/json."),
    ),
    ProblemType(
        "too_big",
        _("Too much at once"),
        413,
        _("The request is larger than any plan can be."),
        _("Send only what the address asks for. A plan has at most 80 moves."),
    ),
    _of(
        refusals.InvalidEntry,
        _(
            "Something that was sent cannot be used: it is missing, of another kind, or outside "
            "what is allowed. Under errors stands what is wrong, entry by entry, or field names "
            "the one that detail is about."
        ),
        _("Mend the entries named and send everything again."),
    ),
    ProblemType(
        "throttled",
        _("Too many requests"),
        429,
        _("More requests came from you, or from your network, than the server takes in a minute."),
        _("Wait as many seconds as the header Retry-After says, and ask less often."),
    ),
)

_PLANS = (
    _of(
        refusals.PlanChanged,
        _("Somebody else has planned the same week since you read it; nothing was stored."),
        _("Read the week again, and send what is still to be done."),
    ),
    _of(
        refusals.NoLongerPossible,
        _("It was possible earlier; meanwhile the clock or somebody else has changed that."),
        _("Read again how things stand."),
    ),
    _of(
        refusals.UnreadablePlan,
        _("Something in the plan is no move: token shows it, position says where, counted from 0."),
        _("Mend that place and hand the plan in again. Nothing was stored."),
    ),
    _of(
        refusals.PlanTooLong,
        _("The plan has more moves or more characters than a plan may have."),
        _("Write only the moves, and fewer of them. Nothing was stored."),
    ),
    _of(
        refusals.EmptyPlan,
        _("There are no moves, and it was not said what that means."),
        _("Send the moves, or set no_plan or cross_is_solved. Nothing was stored."),
    ),
    _of(
        refusals.LowerCasePlan,
        _(
            "All moves are in lower case, which turns two layers at once; often face turns were "
            "meant. They stand in as_face_turns."
        ),
        _("Send the face turns, or the same plan with lower_case_meant. Nothing was stored."),
    ),
    _of(
        refusals.SetClosed,
        _("The set has closed, and plans for it are no longer taken."),
        _("The plan was not handed in. A coach can still read it if you copy it down."),
    ),
    _of(
        refusals.PlanIsFinal,
        _("A plan for this scramble is in already, and a plan is final. It stands in plan."),
        _("Nothing is left to do: the plan that is in counts."),
    ),
    _of(
        refusals.KeyReused,
        _("This key came with another plan before. That one counts and stands in plan."),
        _("Make a new key for each plan. The same key is only for sending the same plan again."),
    ),
)

_OURS = (
    _of(
        refusals.Refusal,
        _("The request was understood and refused; detail says why."),
        _("Do as detail says."),
    ),
    ProblemType(
        "server_error",
        _("A fault of ours"),
        500,
        _("Something broke on the server and was noted."),
        _(
            "Try again in a minute: the same plan with the same key is never stored twice. If it "
            "stays, tell whoever runs the server."
        ),
    ),
)

GROUPS: tuple[tuple[StrOrPromise, tuple[ProblemType, ...]], ...] = (
    (_("Signing in and rights"), _SIGNING_IN),
    (_("Addresses"), _ADDRESSES),
    (_("What is sent"), _BODIES),
    (_("Plans"), _PLANS),
    (_("Anything else"), _OURS),
)
"""The kinds by what they are about, as the page lists them."""

TYPES: dict[str, ProblemType] = {one.code: one for _title, group in GROUPS for one in group}
