"""How long what is kept about people is kept. Pure; the privacy page says these very numbers.

What deletes stands beside what is deleted (``purge`` of a service, rung by the clock's round);
how long is said here alone.
"""

from __future__ import annotations

LOG_DAYS = 365
"""A club's log of who did what to whom."""

ACCESS_DAYS = 30
"""Records of who signed in, or failed to, from which address and device, and what has run out:
sessions, tokens, codes, links."""

TYPED_DAYS = 30
"""What is typed and waits in a browser in which nobody signed out; its script forgets it."""

COPIES_BEFORE_UPGRADES = 10
"""Copies of the database made by itself before its tables change; the oldest go first."""
