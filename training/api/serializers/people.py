"""Signing in, and who one is. Made of rows and of what the token library gives."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from training.api.fields import Entries, OneOf, Text, Texts
from training.models import Role, Scope


class SignIn(Entries):
    """A sign-in name with its pass phrase."""

    sign_in_name = Text(max_length=40)
    phrase = Text(max_length=200, trim_whitespace=False)
    clubs = Texts(
        required=False,
        child=Text(max_length=60),
        max_length=100,
        help_text="The clubs that the token opens, by `slug`. Without it: all that you belong to "
        "now. One that you join later needs a new token.",
    )
    scopes = Texts(
        required=False,
        child=OneOf(choices=Scope.choices),
        max_length=len(Scope),
        allow_empty=False,
        help_text="What the token lets a program do, as far as you may do it yourself. Without "
        "it: `read_own` alone.",
    )


class Token(serializers.Serializer[Any]):
    """What a program sends along from now on."""

    token = serializers.CharField(help_text="Send it as `Authorization: Bearer …`. Shown once.")
    expires_at = serializers.DateTimeField()
    clubs = serializers.ListField(
        child=serializers.CharField(), help_text="The clubs that it opens, by `slug`."
    )
    scopes = serializers.ListField(
        child=serializers.ChoiceField(choices=Scope.choices),
        help_text="What it lets a program do.",
    )


class ClubOfMine(serializers.Serializer[Any]):
    """A club in which your account is open, and what you are there."""

    slug = serializers.CharField(source="club.slug")
    name = serializers.CharField(source="club.name")
    time_zone = serializers.CharField(source="club.time_zone")
    role = serializers.ChoiceField(choices=Role.choices)
    display_name = serializers.CharField()
    competes = serializers.BooleanField()


class Me(serializers.Serializer[Any]):
    """Who is signed in."""

    sign_in_name = serializers.CharField()
    clubs = ClubOfMine(many=True)
