"""Secret addresses at which a member's own calendar can be read by a program."""

from __future__ import annotations

from django.db import models
from django.utils import timezone

from training.models.members import Membership


class CalendarAddress(models.Model):
    """The address of somebody's calendar in a club. What lets in is stored as a digest alone."""

    membership = models.OneToOneField(
        Membership, on_delete=models.CASCADE, related_name="calendar_address"
    )
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"calendar of {self.membership_id}"
