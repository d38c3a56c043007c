"""What the club's views share, and how the document speaks of their answers."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any, cast

from drf_spectacular.utils import OpenApiResponse
from rest_framework.request import Request
from rest_framework.views import APIView

from training.api.problems import MEDIA_TYPE
from training.api.serializers.challenges import OfGroupAsked
from training.api.serializers.problems import Problem
from training.models import Group, Membership, Person, Scope
from training.rights import require_coach, require_enter
from training.selectors.clubs import membership_of
from training.selectors.groups import group_for
from training.selectors.tables import group_asked
from training.visibility import Sealed

Answers = dict[Any, Any]
"""Answers by status, as the document's library takes them."""


def refused(said: dict[int, str]) -> Answers:
    """Problem details for the document, each with when it is the answer."""
    return {
        (status, MEDIA_TYPE): OpenApiResponse(Problem, description=words)
        for status, words in said.items()
    }


ANYWHERE = refused(
    {
        406: "The header Accept asks for something other than JSON.",
        429: "Too many requests; see Retry-After.",
    }
)
SIGNED_IN = {**ANYWHERE, **refused({401: "Nobody is signed in, or the token opens nothing."})}
OF_CLUB = {
    **SIGNED_IN,
    **refused(
        {
            403: "Your account in this club is archived, or waits for a parent’s consent.",
            404: "Not there, not open yet, or another club's: they look the same.",
        }
    ),
}
OF_COACHES = {
    **OF_CLUB,
    **refused({403: "Only a coach of the club may see this, with an account that is open."}),
}
SENDING = refused(
    {
        413: "Larger than any plan can be.",
        415: "What was sent is not named as JSON.",
    }
)


class ClubView(APIView):
    """A view below ``clubs/<slug>/``: finds the membership or answers as if nothing were there.

    Whoever belongs to the club with an account that is not open is told why.
    """

    scope_to_read = Scope.READ_OWN
    scope_to_write = Scope.HAND_IN
    membership: Membership

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """Raises Sealed for who does not belong to the club, NotAllowed for a closed account."""
        super().initial(request, *args, **kwargs)
        found = membership_of(cast(Person, request.user), kwargs["slug"])
        if found is None:
            raise Sealed
        require_enter(found)
        self.membership = found


class CoachView(ClubView):
    """A view for coaches. A member of the club is told so; anybody else sees nothing there."""

    scope_to_read = Scope.COACH_READ
    scope_to_write = Scope.COACH_WRITE

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        require_coach(self.membership)


def groups_named(viewer: Membership, ids: Iterable[int]) -> list[Group]:
    """The groups of the viewer's club that a program names. Raises Sealed for any other."""
    return [group_for(viewer, one) for one in sorted(set(ids))]


def group_of_table(viewer: Membership, request: Request, now: datetime) -> Group | None:
    """The group whose own table is asked for; None: everybody's. Raises Sealed for another."""
    asked = OfGroupAsked(data=request.query_params)
    asked.is_valid(raise_exception=True)
    number = asked.validated_data.get("group")
    return None if number is None else group_asked(viewer, number, now).group
