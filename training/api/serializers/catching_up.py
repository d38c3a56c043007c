"""That what a review sums up may still be old."""

from __future__ import annotations

from rest_framework import serializers

from training.selectors.health import catches_up


class CatchingUp(serializers.BooleanField):
    """True while an upgrade's sums are still being brought up to date: numbers may be old."""

    def __init__(self) -> None:
        words = "True while sums are brought up to date after an upgrade: numbers may still be old."
        super().__init__(read_only=True, help_text=words)

    def get_attribute(self, instance: object) -> bool:
        """Asked of the database, whatever the review."""
        return catches_up()
