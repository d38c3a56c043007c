"""Who signs in, and what opens a door once."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar, Self, TypeVar

from django.conf import settings
from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone

from training import names
from training.models.fields import OneOf

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


def languages() -> list[tuple[str, StrOrPromise]]:
    """The languages of the site, as codes with names."""
    return list(settings.LANGUAGES)


def site_language() -> str:
    """What is spoken to whoever has chosen nothing."""
    return settings.LANGUAGE_CODE


class PersonManager(BaseUserManager["Person"]):
    """Finds people by sign-in name, whatever its case."""

    def create_person(self, sign_in_name: str, phrase: str | None, **fields: Any) -> Person:
        """Store a new person; without a phrase only a one-time code lets them in."""
        person = self.model(sign_in_name=sign_in_name.strip(), **fields)
        person.set_password(phrase)
        person.save(using=self._db)
        return person

    def get_by_natural_key(self, sign_in_name: str | None) -> Person:
        found = self.signing_in_as(sign_in_name or "")
        if found is None:
            raise self.model.DoesNotExist
        return found

    def signing_in_as(self, typed: str) -> Person | None:
        """Who signs in with a name as typed, whatever its case.

        Names were once kept as typed, so as typed it is looked for first; then in the form in
        which they are kept now.
        """
        for name in dict.fromkeys((typed.strip(), names.tidy(typed))):
            found = self.filter(sign_in_name__iexact=name).first()
            if found is not None:
                return found
        return None


class Person(AbstractBaseUser):
    """Somebody who signs in. No e-mail address, no birthday: a name and a pass phrase.

    ``language``: what the person chose; empty for the club's.
    """

    sign_in_name = models.CharField(max_length=40)
    is_active = models.BooleanField(default=True)
    must_choose_phrase = models.BooleanField(default=False)
    language = OneOf(max_length=10, choices=languages, blank=True, default="")
    created_at = models.DateTimeField(default=timezone.now)

    # Of this sign-in, not stored here: the ids of the clubs that it opens (None: all, as a pass
    # phrase does) and of those whose one-time codes it was given.
    opened_clubs: frozenset[int] | None = None
    code_clubs: frozenset[int] = frozenset()
    # And of the device: the clubs that the person has been in on it by pass phrase.
    device_clubs: frozenset[int] = frozenset()

    objects: ClassVar[PersonManager] = PersonManager()

    USERNAME_FIELD = "sign_in_name"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        constraints = [
            models.UniqueConstraint(Lower("sign_in_name"), name="person_sign_in_name_unique"),
        ]

    def __str__(self) -> str:
        return self.sign_in_name


Token = TypeVar("Token", bound="OneTimeToken")


class OneTimeTokenQuerySet(models.QuerySet[Token]):
    def not_expired(self, now: datetime) -> Self:
        return self.filter(expires_at__gt=now)


class UsedOnceQuerySet(OneTimeTokenQuerySet[Token]):
    def unused(self) -> Self:
        return self.filter(used_at__isnull=True)


class OneTimeToken(models.Model):
    """What opens a door: kept as a hash, because a copied database must open none."""

    token_hash = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField(default=timezone.now)
    expires_at = models.DateTimeField()

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return f"{type(self).__name__} {self.pk}"


class OwnerLink(OneTimeToken):
    """Lets the first owner set up the club; works once."""

    used_at = models.DateTimeField(null=True, blank=True)

    objects = UsedOnceQuerySet["OwnerLink"].as_manager()


class SignInCode(OneTimeToken):
    """A one-time code on a card, made by a coach for somebody who forgot the phrase.

    It opens ``club``; without one, made by whoever runs the server, all of the person's.
    """

    club = models.ForeignKey("training.Club", null=True, on_delete=models.CASCADE)
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="sign_in_codes")
    made_by = models.ForeignKey(
        Person, null=True, on_delete=models.SET_NULL, related_name="codes_made"
    )
    used_at = models.DateTimeField(null=True, blank=True)

    objects = UsedOnceQuerySet["SignInCode"].as_manager()
