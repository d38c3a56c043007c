"""The pages of scrambles: the steps of an attempt, and verdicts, by who asks for which."""

from __future__ import annotations

from typing import Any

from training.models import Membership

ROOT = "/c/lantern-street"


def pages_of_attempts(
    there: Any, today: str, old: str
) -> dict[str, list[tuple[Membership | None, str]]]:
    """By the name of an address, as in ``test_every_string.py``; ``today``, ``old``: sets."""
    me, other = there.member, there.second
    return {
        "scramble": [
            *((me, f"{old}{number}/") for number in range(1, 6)),
            *((me, f"{today}{number}/") for number in range(1, 6)),
            *((me, f"{ROOT}/sets/{there.leaves.pk}/{number}/") for number in range(1, 5)),
            (other, f"{old}2/"),
            (other, f"{old}3/"),
            (other, f"{old}5/"),
        ],
        "again": [
            (me, f"{old}{number}/again/{query}")
            for number in (1, 2, 4)
            for query in ("", "?step=1&hint=3&tried=R&moves=F", "?way=1&step=1&hint=3&moves=R'")
        ],
        "inspect": [(me, f"{today}{number}/inspect/") for number in range(1, 6)],
        "write": [(me, f"{today}{number}/write/") for number in range(1, 6)],
        "read_back": [(me, f"{today}{number}/read-back/") for number in range(1, 6)],
    }
