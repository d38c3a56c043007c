"""The least that a site may do for a hand-in: one view that knows a token and writes one row.

Settings and addresses at once, for ``tests.bench.hand_in_rate``: the same database and server as
the club's site, and of everything else only what the framework has by itself.
"""

from __future__ import annotations

import uuid

from django.urls import path

from clubsite.settings.base import *  # noqa: F403

ROOT_URLCONF = "tests.bench.bare_site"
# Says how long an answer is: without that the server closes the connection after each.
MIDDLEWARE = ["django.middleware.common.CommonMiddleware"]
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["knox.auth.TokenAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
}


def __getattr__(name: str) -> object:
    """The addresses, made once the settings are loaded."""
    if name != "urlpatterns":
        raise AttributeError(name)
    from rest_framework.response import Response
    from rest_framework.views import APIView

    from training.models import Group

    class OneRow(APIView):
        def post(self, request: object, club_id: int) -> Response:
            sent = request.data  # type: ignore[attr-defined]
            row = Group.objects.create(club_id=club_id, name=str(uuid.UUID(sent["key"])))
            return Response({"id": row.pk, "plan": sent["plan"]}, status=201)

    made = globals()["urlpatterns"] = [path("<int:club_id>/", OneRow.as_view())]
    return made
