"""What somebody is signed in with: tokens of programs, and which clubs they open."""

from __future__ import annotations

from django.db import models

from training.models.people import Person


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


class SignedIn(models.Model):
    """A browser in which somebody is signed in; it ends with its session.

    ``browser`` and ``system`` tell roughly which, as far as they are known.
    """

    session = models.OneToOneField(
        "sessions.Session", on_delete=models.CASCADE, related_name="signed_in"
    )
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="signed_in")
    began_at = models.DateTimeField()
    browser = models.CharField(max_length=30, blank=True, default="")
    system = models.CharField(max_length=30, blank=True, default="")

    class Meta:
        ordering = ["-began_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.browser} {self.system}"
