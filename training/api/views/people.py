"""Signing in and out, and who one is."""

from __future__ import annotations

from typing import cast

from django.contrib.auth.signals import user_logged_in
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from training.api.serializers import people as shapes
from training.api.throttles import PerAddress, SignIns
from training.api.views.base import ANYWHERE, SENDING, SIGNED_IN, refused
from training.models import LEAST, Person
from training.refusals import NotAllowed
from training.rights import may_enter
from training.selectors.clubs import memberships_of, slugs_of
from training.services.counting import note_sign_in
from training.services.sign_in import prove
from training.services.tokens import make_token
from training.user_agents import known_as


class Tokens(APIView):
    """Sign in: a sign-in name with its pass phrase gives a token."""

    authentication_classes = []
    permission_classes = [AllowAny]
    throttle_classes = [PerAddress, SignIns]

    @extend_schema(
        operation_id="sign_in",
        request=shapes.SignIn,
        responses={
            201: shapes.Token,
            **ANYWHERE,
            **SENDING,
            **refused(
                {
                    400: "Something is missing or cannot be read, or a club is not yours.",
                    401: "Name and pass phrase do not match.",
                    403: "A new pass phrase must be chosen first, or too many tokens are open.",
                    429: "Too many tries, or too many requests; see detail.",
                }
            ),
        },
        auth=[],
    )
    def post(self, request: Request) -> Response:
        form = shapes.SignIn(data=request.data)
        form.is_valid(raise_exception=True)
        entered = form.validated_data
        person = prove(
            request=request._request,
            sign_in_name=entered["sign_in_name"],
            phrase=entered["phrase"],
        )
        if person.must_choose_phrase:
            raise NotAllowed(_("Choose a new pass phrase on the site first."))
        token, secret = make_token(
            person=person,
            clubs=entered.get("clubs"),
            scopes=entered.get("scopes", LEAST),
            program=_program(request),
        )
        user_logged_in.send(sender=Person, request=request._request, user=person)
        note_sign_in(person=person)
        slugs = slugs_of(token.reach.clubs)
        shown = shapes.Token(
            {
                "token": secret,
                "expires_at": token.expiry,
                "clubs": slugs,
                "scopes": token.reach.scopes,
            }
        )
        return Response(shown.data, status=status.HTTP_201_CREATED)


def _program(request: Request) -> str:
    program, _system = known_as(request.headers.get("User-Agent", ""))
    return program


class CurrentToken(APIView):
    """Sign out: end the token that was sent."""

    scope_to_write = None

    @extend_schema(
        operation_id="sign_out",
        request=None,
        responses={
            204: None,
            **SIGNED_IN,
            **refused({403: "You came with a page's session: there is no token to end."}),
        },
    )
    def delete(self, request: Request) -> Response:
        if request.auth is None:
            raise NotAllowed(_("This ends a token; you came with a page’s session instead."))
        request.auth.delete()
        return Response(status=status.HTTP_204_NO_CONTENT)


class Myself(APIView):
    """Who is signed in, and in which clubs."""

    @extend_schema(operation_id="me", responses={200: shapes.Me, **SIGNED_IN})
    def get(self, request: Request) -> Response:
        person = cast(Person, request.user)
        clubs = [m for m in memberships_of(person) if may_enter(m)]
        return Response(shapes.Me({"sign_in_name": person.sign_in_name, "clubs": clubs}).data)
