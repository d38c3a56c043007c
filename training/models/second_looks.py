"""What a member found on a second look at an own plan, beside all that counts."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from training.models.members import Membership
from training.models.sets import Scramble


class SecondLook(models.Model):
    """That a member wrote a plan on from a place in it without losing anything. In no table.

    ``place``: how many tokens of the plan stand before it; ``moves``: what was written from
    there, canonical; ``hints``: how many were asked for.
    """

    membership = models.ForeignKey(
        Membership, on_delete=models.CASCADE, related_name="second_looks"
    )
    scramble = models.ForeignKey(Scramble, on_delete=models.CASCADE, related_name="second_looks")
    place = models.PositiveSmallIntegerField()
    moves = models.CharField(max_length=400)
    hints = models.PositiveSmallIntegerField(default=0)
    found_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["place"]
        constraints = [
            models.UniqueConstraint(
                fields=["membership", "scramble", "place"], name="found_once_at_a_place"
            ),
        ]

    def __str__(self) -> str:
        return f"second look of {self.membership_id} at scramble {self.scramble_id}"
