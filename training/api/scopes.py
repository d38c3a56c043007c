"""What a token lets a program do: each view says which scope its methods need.

A page's session needs none: it is the person. The scope is asked for before anything is
looked up, so that the answer tells nothing of what is there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _
from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from training.models import Scope
from training.refusals import ScopeMissing

if TYPE_CHECKING:
    # The framework's views read this class from the settings while they are being loaded.
    from rest_framework.views import APIView


class TokenReaches(BasePermission):
    """Whether the token that was sent has the scope that the view needs.

    A view has ``scope_to_read`` and ``scope_to_write``; None: any token will do.
    """

    def has_permission(self, request: Request, view: APIView) -> bool:
        """Raises ScopeMissing for a token without the scope."""
        reading = request.method in SAFE_METHODS
        needed: Any = getattr(
            view, "scope_to_read" if reading else "scope_to_write", Scope.READ_OWN
        )
        if request.auth is None or needed is None:
            return True
        reach = getattr(request.auth, "reach", None)
        # A token without a reach opens no club, whatever it may do.
        if reach is None or needed in reach.scopes:
            return True
        raise ScopeMissing(
            _(
                "This token may not do that: it would need the scope `{scope}`, which lets a "
                "program {what}."
            ).format(scope=needed.value, what=needed.label),
            scope=needed.value,
        )
