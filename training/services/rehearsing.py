"""Rehearsing: what a change would make, done, read and taken back, or kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from django.db import transaction

Done = TypeVar("Done")
Found = TypeVar("Found")


def rehearsed(act: Callable[[], Done], read: Callable[[Done], Found], *, store: bool) -> Found:
    """Do something and read what it has made; without ``store`` it is taken back at once.

    So what a preview shows is what would be there, by the rules of the real thing,
    and what it refuses is what would be refused. What is sent after a commit is not
    sent for a preview. Raises what ``act`` and ``read`` raise.
    """
    with transaction.atomic():
        found = read(act())
        if not store:
            transaction.set_rollback(True)
    return found
