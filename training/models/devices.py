"""What somebody is signed in with: tokens of programs, and which clubs they open."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from training.models.people import Person


class Scope(models.TextChoices):
    """What a token lets a program do, as far as its person may do it."""

    READ_OWN = "read_own", _("read what is yours: sets, your plans and verdicts, tables")
    HAND_IN = "hand_in", _("hand in plans, and ask")
    COACH_READ = "coach_read", _("read what coaches read: everybody’s plans, reviews, lessons")
    COACH_WRITE = "coach_write", _("do what coaches do: correct, give, answer, confirm")
    PEOPLE = (
        "people",
        _("read and change who belongs to the club, its log, members’ data"),
    )


LEAST = (Scope.READ_OWN,)
"""What a token may do when nobody said more."""


class TokenReach(models.Model):
    """What a program's token opens: the clubs chosen when it was made, by id, and no later one.

    ``scopes``: what it lets a program do there. ``program``: roughly what it was made with.
    A token without a reach opens no club.
    """

    token = models.OneToOneField(
        "knox.AuthToken", primary_key=True, on_delete=models.CASCADE, related_name="reach"
    )
    clubs = models.JSONField(default=list)
    scopes = models.JSONField(default=list)
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
