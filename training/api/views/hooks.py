"""Web hooks, for the owners of a club: made, ended, what was sent, and sent once more."""

from __future__ import annotations

import uuid
from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.paging import IN_PAGES, in_pages
from training.api.serializers import hooks as shapes
from training.api.views.base import OF_COACHES, SENDING, CoachView, refused
from training.models import WebHook
from training.rights import require_own
from training.selectors.hooks import delivery_in, hook_in, hooks_of, sent_to
from training.services import hooks as services
from training.visibility import Sealed

WRONG = refused({400: "An entry is missing or cannot be used; see errors."})
OF_OWNERS = {**OF_COACHES, **refused({403: "Only the owners of the club may."})}
TOO_MANY = refused({409: "There are as many as there may be; end one first."})


class OwnerView(CoachView):
    """A view for owners. A coach of the club is told so."""

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        require_own(self.membership)

    def hook(self, hook_id: int) -> WebHook:
        """One hook of the club. Raises Sealed."""
        found = hook_in(self.membership, hook_id)
        if found is None:
            raise Sealed
        return found


class Hooks(OwnerView):
    """The addresses that are told of the club's events; and one more."""

    @extend_schema(
        operation_id="hooks",
        parameters=IN_PAGES,
        responses={200: shapes.Hook(many=True), **OF_OWNERS},
    )
    def get(self, request: Request, slug: str) -> Response:
        return in_pages(request, hooks_of(self.membership), shapes.Hook)

    @extend_schema(
        operation_id="make_hook",
        request=shapes.MakeHook,
        responses={201: shapes.HookSecret, **OF_OWNERS, **SENDING, **WRONG, **TOO_MANY},
    )
    def post(self, request: Request, slug: str) -> Response:
        """The secret is in this answer and in no other."""
        form = shapes.MakeHook(data=request.data)
        form.is_valid(raise_exception=True)
        made, secret = services.make_hook(
            by=self.membership, now=timezone.now(), **form.validated_data
        )
        shown = shapes.HookSecret({"id": made.pk, "secret": secret}).data
        return Response(shown, status=status.HTTP_201_CREATED)


class OneHook(OwnerView):
    """End a hook; nothing is sent to its address any more, and its log is gone."""

    @extend_schema(operation_id="end_hook", responses={204: None, **OF_OWNERS})
    def delete(self, request: Request, slug: str, hook_id: int) -> Response:
        services.end_hook(by=self.membership, hook=self.hook(hook_id))
        return Response(status=status.HTTP_204_NO_CONTENT)


class RenewingSecret(OwnerView):
    """Another secret; the one before signs nothing from now on."""

    @extend_schema(
        operation_id="renew_hook_secret",
        request=None,
        responses={200: shapes.HookSecret, **OF_OWNERS},
    )
    def post(self, request: Request, slug: str, hook_id: int) -> Response:
        secret = services.renew_secret(by=self.membership, hook=self.hook(hook_id))
        return Response(shapes.HookSecret({"id": hook_id, "secret": secret}).data)


class Deliveries(OwnerView):
    """What was sent to a hook in the last 30 days, newest first."""

    @extend_schema(
        operation_id="hook_deliveries",
        parameters=IN_PAGES,
        responses={200: shapes.HookDelivery(many=True), **OF_OWNERS},
    )
    def get(self, request: Request, slug: str, hook_id: int) -> Response:
        found = sent_to(self.membership, self.hook(hook_id))
        return in_pages(request, found, shapes.HookDelivery)


class TryingAgain(OwnerView):
    """Send a message once more that was not delivered: it is due at once."""

    @extend_schema(
        operation_id="try_delivery_again",
        request=None,
        responses={
            200: shapes.HookDelivery,
            **OF_OWNERS,
            **refused({409: "It was delivered."}),
        },
    )
    def post(self, request: Request, slug: str, hook_id: int, number: uuid.UUID) -> Response:
        delivery = delivery_in(self.membership, self.hook(hook_id), number)
        if delivery is None:
            raise Sealed
        services.try_again(by=self.membership, delivery=delivery, now=timezone.now())
        return Response(shapes.HookDelivery.out(sent_to(self.membership, delivery.hook, number)[0]))
