"""What is sent in place of an answer."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers


class Problem(serializers.Serializer[Any]):
    """An RFC 9457 problem details object; some problems carry more members."""

    type = serializers.CharField(help_text="The address of a page about this kind of problem.")
    title = serializers.CharField(help_text="What happened, in a few words.")
    status = serializers.IntegerField()
    detail = serializers.CharField(help_text="What happened here, and what to do.")
