"""What somebody is signed in with: tokens of programs, and which clubs they open."""

from __future__ import annotations

from django.db import models


class TokenReach(models.Model):
    """What a program's token opens: the clubs chosen when it was made, by id, and no later one.

    ``program``: roughly what it was made with. A token without a reach opens no club.
    """

    token = models.OneToOneField(
        "knox.AuthToken", primary_key=True, on_delete=models.CASCADE, related_name="reach"
    )
    clubs = models.JSONField(default=list)
    program = models.CharField(max_length=60, blank=True, default="")

    def __str__(self) -> str:
        return f"{self.program} {self.clubs}"
