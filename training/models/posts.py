"""How a club tells of a challenge: the post, what is worth a word, an address for all to read."""

from __future__ import annotations

import secrets

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from training.models.challenges import Challenge
from training.models.clubs import Club
from training.models.fields import OneOf
from training.models.members import Membership


class Praise(models.TextChoices):
    """For what somebody is worth a word. There is no word for the worst of anything."""

    FEWEST = "fewest", _("fewest moves over the best")
    GAINED = "gained", _("gained most on the own weeks before")
    RARE = "rare", _("found exactly what fewest others did")
    FIRST = "first", _("first exact cross of that length")


class Post(models.Model):
    """That a confirmed challenge was told of. Names are asked when it is read; none stands here."""

    challenge = models.OneToOneField(Challenge, on_delete=models.CASCADE, related_name="post")
    posted_at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        Membership, null=True, on_delete=models.SET_NULL, related_name="posts_made"
    )

    class Meta:
        ordering = ["-posted_at"]

    def __str__(self) -> str:
        return f"post {self.pk}"


class WorthAWord(models.Model):
    """One of the things that a post tells of a member.

    ``figures``: the numbers of its evidence, as they were when the coach chose it.
    """

    post = models.ForeignKey(Post, on_delete=models.CASCADE, related_name="words")
    place = models.PositiveSmallIntegerField()
    kind = OneOf(max_length=8, choices=Praise)
    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="praised")
    figures = models.JSONField(default=dict)

    class Meta:
        ordering = ["place"]
        constraints = [
            models.UniqueConstraint(fields=["post", "place"], name="one_word_a_place"),
        ]

    def __str__(self) -> str:
        return f"word {self.pk}"


def new_secret() -> str:
    """What nobody guesses, in an address."""
    return secrets.token_urlsafe(24)


class PublicAddress(models.Model):
    """Where everybody who has it reads a club's posts. No row: nobody outside does."""

    club = models.OneToOneField(Club, on_delete=models.CASCADE, related_name="public_address")
    secret = models.CharField(max_length=64, unique=True, default=new_secret)
    made_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"public address of {self.club_id}"
