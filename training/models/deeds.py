"""A club's log: who did what to whom."""

from __future__ import annotations

from datetime import datetime
from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.clubs import Club
from training.models.fields import OneOf
from training.models.members import Membership


class Done(models.TextChoices):
    """What is noted in the log."""

    LET_IN = "let_in", _("let in")
    LISTED = "listed", _("added from a list")
    CARD = "card", _("sign-in card made")
    LOCK_LIFTED = "lock_lifted", _("lock lifted")
    SIGNED_OUT = "signed_out", _("signed out everywhere")
    CONSENT_NOTED = "consent_noted", _("consent noted")
    CONSENT_WITHDRAWN = "consent_withdrawn", _("consent withdrawn")
    ARCHIVED = "archived", _("archived")
    REOPENED = "reopened", _("opened again")
    ROLE = "role", _("role changed")
    COMPETING = "competing", _("competing changed")
    GROUP = "group", _("group changed")
    RENAMED = "renamed", _("renamed")
    SIGN_IN_NAME = "sign_in_name", _("sign-in name changed")
    AGE = "age", _("age mark changed")
    OUTSIDE = "outside", _("named outside or not")
    GUARDIAN_ON_NAMING = "guardian_on_naming", _("guardian’s word on naming")
    EXPORTED = "exported", _("data read")
    CLUB_EXPORTED = "club_exported", _("all data of the club downloaded")
    ERASED = "erased", _("data erased")


class DeedQuerySet(models.QuerySet["Deed"]):
    def of_club(self, club: Club) -> Self:
        return self.filter(club=club)

    def done_before(self, instant: datetime) -> Self:
        return self.filter(done_at__lt=instant)


class Deed(models.Model):
    """A line of the log. It holds no names: what somebody is called is asked when it is read.

    ``by``: who did it; None for whoever runs the server. ``detail``: a word of
    ours that says more, such as the new role; never what somebody wrote.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="deeds")
    done_at = models.DateTimeField(default=timezone.now)
    what = OneOf(max_length=20, choices=Done)
    by = models.ForeignKey(
        Membership, null=True, on_delete=models.CASCADE, related_name="deeds_done"
    )
    whom = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="deeds_undergone")
    detail = models.CharField(max_length=20, blank=True, default="")

    objects = DeedQuerySet.as_manager()

    class Meta:
        ordering = ["-done_at", "-pk"]
        indexes = [
            models.Index(fields=["club", "-done_at"], name="deed_of_club"),
            models.Index(fields=["done_at"], name="deed_by_age"),
        ]

    def __str__(self) -> str:
        return f"{self.what} {self.pk}"
