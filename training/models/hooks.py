"""Web hooks: addresses elsewhere that are told when a set opens, closes or is confirmed."""

from __future__ import annotations

import secrets
import uuid
from datetime import datetime
from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.clubs import Club
from training.models.fields import OneOf
from training.models.sets import ScrambleSet


class Event(models.TextChoices):
    """What a hook is told of."""

    OPENED = "set_opened", _("a set has opened")
    CLOSED = "set_closed", _("a set has closed")
    CONFIRMED = "confirmed", _("a challenge is confirmed")


def new_turn() -> str:
    """What makes one secret of a hook another than the one before."""
    return secrets.token_hex(16)


class WebHook(models.Model):
    """An address that is told of some events of a club.

    ``turn``: with the server's own key it makes the hook's secret, so that no copy of the
    database holds one; a new turn is a new secret.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="web_hooks")
    address = models.CharField(max_length=500)
    events = models.JSONField(default=list)
    turn = models.CharField(max_length=64, default=new_turn)
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["club", "address"], name="hook_address_once")
        ]

    def __str__(self) -> str:
        return f"web hook {self.pk}"


class DeliveryQuerySet(models.QuerySet["Delivery"]):
    def due(self, now: datetime) -> Self:
        """Those to be tried now, the longest due first."""
        return self.filter(next_try_at__lte=now).order_by("next_try_at", "pk")


class Delivery(models.Model):
    """One message to one hook; the row is the queue entry.

    ``next_try_at``: None once it was delivered or given up. ``status``: the answer's, None where
    there was none; ``trouble``: why it was not delivered.
    """

    hook = models.ForeignKey(WebHook, on_delete=models.CASCADE, related_name="deliveries")
    number = models.UUIDField(default=uuid.uuid4, unique=True)
    event = OneOf(max_length=10, choices=Event)
    scramble_set = models.ForeignKey(ScrambleSet, on_delete=models.CASCADE, related_name="told_of")
    happened_at = models.DateTimeField()
    tries = models.PositiveSmallIntegerField(default=0)
    next_try_at = models.DateTimeField(null=True, blank=True)
    tried_at = models.DateTimeField(null=True, blank=True)
    delivered_at = models.DateTimeField(null=True, blank=True)
    status = models.PositiveSmallIntegerField(null=True, blank=True)
    trouble = models.CharField(max_length=100, blank=True, default="")

    objects = DeliveryQuerySet.as_manager()

    class Meta:
        ordering = ["-happened_at", "-pk"]
        indexes = [
            models.Index(
                fields=["next_try_at"],
                condition=models.Q(next_try_at__isnull=False),
                name="delivery_due",
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["hook", "event", "scramble_set", "happened_at"], name="told_once"
            ),
        ]

    def __str__(self) -> str:
        return f"delivery {self.number}"
