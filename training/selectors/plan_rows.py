"""The rows of plans and scrambles of some sets, by queries put into SQL once."""

from __future__ import annotations

from training.models import Plan, Scramble
from training.prepared import LARGE, MANY, Prepared

scrambles_in = Prepared(lambda sets: Scramble.objects.filter(scramble_set__in=sets), MANY)
"""By the ids of sets: their scrambles, by number."""

bare_plans_of = Prepared(
    lambda member, sets: Plan.objects.filter(membership=member, scramble__scramble_set__in=sets),
    *(LARGE, MANY),
)
"""By a membership and the ids of sets: its plans."""

plans_of = Prepared(
    lambda member, sets: Plan.objects.filter(
        membership=member, scramble__scramble_set__in=sets
    ).select_related("verdict", "outlook", "scramble", "membership", "inspection"),
    *(LARGE, MANY),
)
"""The same with all that a page tells of them."""

plans_with_words_in = Prepared(
    lambda sets: (
        Plan.objects.with_words()
        .filter(scramble__scramble_set__in=sets)
        .select_related("scramble", "membership", "inspection", "verdict", "outlook")
    ),
    MANY,
)
"""By the ids of sets: everybody's plans that can be read, with all that a page tells of them."""
