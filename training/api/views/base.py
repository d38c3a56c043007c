"""What the club's views share."""

from __future__ import annotations

from typing import Any, cast

from drf_spectacular.utils import OpenApiResponse
from rest_framework.request import Request
from rest_framework.views import APIView

from training.api import serializers
from training.models import Membership, Person
from training.rights import require_coach
from training.selectors.clubs import open_membership
from training.visibility import Sealed


def problem(description: str) -> OpenApiResponse:
    """A problem details answer, for the OpenAPI document."""
    return OpenApiResponse(serializers.Problem, description=description)


PROBLEMS = {
    401: problem("Nobody is signed in."),
    404: problem("Not there, not open yet, or another club's: they look the same."),
    429: problem("Too many requests; see Retry-After."),
}


class ClubView(APIView):
    """A view below ``clubs/<slug>/``: finds the membership or answers as if nothing were there."""

    membership: Membership

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """Raises Sealed for whoever does not belong to the club."""
        super().initial(request, *args, **kwargs)
        person = cast(Person, request.user)
        found = open_membership(person, kwargs["slug"])
        if found is None:
            raise Sealed
        self.membership = found


class CoachView(ClubView):
    """A view for coaches. A member of the club is told so; anybody else sees nothing there."""

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        require_coach(self.membership)
