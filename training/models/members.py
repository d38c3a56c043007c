"""Who belongs to a club, in which role, and what lets somebody in."""

from __future__ import annotations

from datetime import datetime
from typing import Self

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.clubs import Club
from training.models.fields import OneOf, ShownName
from training.models.people import OneTimeToken, OneTimeTokenQuerySet, Person


class Role(models.TextChoices):
    OWNER = "owner", _("owner")
    COACH = "coach", _("coach")
    MEMBER = "member", _("member")


COACHING_ROLES = (Role.OWNER, Role.COACH)
"""The roles that coach: an owner is a coach."""


class Standing(models.TextChoices):
    """Whether an account lets its person in, and if not, why."""

    ACTIVE = "active", _("active")
    CONSENT = "consent", _("waits for a guardian's consent")
    WAITING = "waiting", _("waits to be let in by a coach")
    ARCHIVED = "archived", _("archived")
    FORMER = "former", _("a former member")


class Inspects(models.TextChoices):
    """How a member inspects: within fifteen seconds, or as long as it takes."""

    TIMED = "timed", _("15 seconds")
    OWN = "own", _("take my time")


class MembershipQuerySet(models.QuerySet["Membership"]):
    def open(self) -> Self:
        """Accounts that let their person in."""
        return self.filter(standing=Standing.ACTIVE, person__is_active=True)

    def waiting_for_consent(self) -> Self:
        return self.filter(standing=Standing.CONSENT)

    def not_former(self) -> Self:
        """Everybody but those who were erased, of whom numbers alone are left."""
        return self.exclude(standing=Standing.FORMER)

    def waiting_to_be_let_in(self) -> Self:
        return self.filter(standing=Standing.WAITING)

    def not_archived(self) -> Self:
        return self.not_former().exclude(standing=Standing.ARCHIVED)

    def coaching(self) -> Self:
        return self.filter(role__in=COACHING_ROLES)

    def competing(self) -> Self:
        """Who is looked at in reviews."""
        return self.filter(standing=Standing.ACTIVE, competes=True)


class Membership(models.Model):
    """A person in a club: a role, a name that others see, and whether the account is open.

    ``competes``: whether sets that open from now on count; which sets did, the
    counting periods say. ``stopped_competing_at``: since when they do not, for
    somebody who competed. ``named_outside``: whether the own name may stand where
    others than the club read it; of a child's it may when a guardian agreed to
    that, too (``outside_consent_at``, noted by a coach). ``consent_text``: which text of
    :mod:`training.agreement` a guardian agreed to; None for consents from
    before texts were numbered. ``usual_hold``: colours of top and front, or empty. Of a
    former member nothing is left but numbers that others' tables need: no name, and a
    person that nobody can sign in as.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="memberships")
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="memberships")
    display_name = ShownName(max_length=40)
    role = OneOf(max_length=6, choices=Role, default=Role.MEMBER)
    competes = models.BooleanField(default=True)
    stopped_competing_at = models.DateTimeField(null=True, blank=True)
    standing = OneOf(max_length=8, choices=Standing, default=Standing.ACTIVE)
    joined_at = models.DateTimeField(default=timezone.now)
    under_18 = models.BooleanField(default=False)
    consent_noted_at = models.DateTimeField(null=True, blank=True)
    consent_noted_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.SET_NULL, related_name="consents_noted"
    )
    consent_note = models.CharField(max_length=200, blank=True)
    consent_text = models.PositiveSmallIntegerField(null=True, blank=True)
    consent_withdrawn_at = models.DateTimeField(null=True, blank=True)
    # What was chosen last on the way to a plan, to be offered again.
    inspects = OneOf(max_length=5, choices=Inspects, default=Inspects.OWN, blank=True)
    usual_hold = models.CharField(max_length=13, blank=True, default="")
    named_outside = models.BooleanField(default=False)
    outside_consent_at = models.DateTimeField(null=True, blank=True)
    outside_consent_by = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    objects = MembershipQuerySet.as_manager()

    class Meta:
        ordering = ["display_name"]
        constraints = [
            models.UniqueConstraint(fields=["club", "person"], name="membership_once_a_club"),
            models.UniqueConstraint(
                "club",
                Lower("display_name"),
                condition=~Q(standing=Standing.FORMER),
                name="display_name_once_a_club",
            ),
            models.CheckConstraint(
                condition=Q(under_18=False)
                | ~Q(standing=Standing.ACTIVE)
                | Q(consent_noted_at__isnull=False, consent_withdrawn_at__isnull=True),
                name="no_child_without_consent",
            ),
            models.CheckConstraint(
                condition=Q(standing=Standing.FORMER, display_name="")
                | (~Q(standing=Standing.FORMER) & ~Q(display_name="")),
                name="former_members_have_no_name",
            ),
        ]

    def __str__(self) -> str:
        return self.display_name


class InviteQuerySet(OneTimeTokenQuerySet["Invite"]):
    def usable(self, now: datetime) -> Self:
        """Invites that still let somebody in."""
        return self.not_expired(now).filter(withdrawn_at__isnull=True, taken__lt=F("places"))


class Invite(OneTimeToken):
    """A link by which people join a club with a role, a number of times, until a date.

    ``made_for``: the name of the one person that it is for; empty for whoever has it, who then
    waits for a coach.
    """

    club = models.ForeignKey(Club, on_delete=models.CASCADE, related_name="invites")
    role = OneOf(max_length=6, choices=Role, default=Role.MEMBER)
    made_by = models.ForeignKey(
        Person, null=True, on_delete=models.SET_NULL, related_name="invites_made"
    )
    places = models.PositiveSmallIntegerField(default=40)
    taken = models.PositiveSmallIntegerField(default=0)
    made_for = models.CharField(max_length=40, blank=True, default="")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = InviteQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(taken__lte=F("places")), name="invite_not_overbooked"
            ),
            models.CheckConstraint(
                condition=~Q(role=Role.OWNER), name="nobody_becomes_owner_by_invite"
            ),
            models.CheckConstraint(
                condition=Q(made_for="") | Q(places=1), name="invite_by_name_for_one"
            ),
        ]
