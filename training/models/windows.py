"""Who has a set open longer than the others, by the correction that says so."""

from __future__ import annotations

from django.db import models

from training.models.corrections import Correction
from training.models.members import Membership


class OwnWindow(models.Model):
    """A set is kept open for this member; without any, its correction keeps it open for all.

    ``opens_at``: who plans at another hour finds the set sealed until then; None: it stays open.
    """

    correction = models.ForeignKey(Correction, on_delete=models.CASCADE, related_name="own_windows")
    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="own_windows")
    opens_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["correction", "membership"], name="own_window_once")
        ]

    def __str__(self) -> str:
        return f"{self.membership_id} by {self.correction_id}"
