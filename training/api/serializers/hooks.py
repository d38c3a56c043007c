"""Web hooks of a club, for its owners."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Entries, OneOf, Text, Texts
from training.api.serializers.shape import Shape
from training.models import Event
from training.selectors import hooks

EVENTS = tuple(Event.values)


class HookDelivery(Shape):
    """A message to a hook. `next_try_at`: null once it was delivered or given up."""

    event = serializers.ChoiceField(choices=EVENTS)

    class Meta:
        dataclass = hooks.Sent
        ref_name = "HookDelivery"


class Hook(Shape):
    """An address that is told, with its latest messages, newest first. Its secret is nowhere."""

    events = serializers.ListField(child=serializers.ChoiceField(choices=EVENTS))

    class Meta:
        dataclass = hooks.HookLine
        ref_name = "Hook"
        inner = (HookDelivery,)


class HookSecret(serializers.Serializer[object]):
    """What messages to a hook are signed with, shown this once."""

    id = serializers.IntegerField()
    secret = serializers.CharField()


class MakeHook(Entries):
    """An address to be told of some events."""

    address = Text(max_length=500, help_text="An https address that the server may reach.")
    events = Texts(child=OneOf(choices=EVENTS), min_length=1, max_length=len(EVENTS))
