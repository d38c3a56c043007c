"""The shape of an earlier version, as near to today's as one that changes a table of ours."""

from __future__ import annotations

BEFORE = "0046_own_windows"
"""A migration: after it a table changes. An earlier one of an app that ours builds on would take
all of ours back, which takes seconds."""

TABLE = "training_club"
"""The table that the migration after it changes."""
