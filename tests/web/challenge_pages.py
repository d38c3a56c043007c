"""The pages of challenges, seasons, questions and posts, by who asks for which."""

from __future__ import annotations

from typing import Any

from training.models import Membership, Post, Season

ROOT = "/c/lantern-street"


def pages_of_challenges(there: Any) -> dict[str, list[tuple[Membership | None, str]]]:
    """By the name of an address, as in ``test_every_string.py``."""
    me, other, coach, owner = there.member, there.second, there.coach, there.owner
    every = [f"{ROOT}/challenges/{one.pk}/" for one in there.challenges.values()]
    stands = [f"{ROOT}/challenges/{there.challenges[one].pk}/" for one in ("confirmed", "posted")]
    asked = there.challenges["questions"].scramble_set_id
    public = f"/posts/{there.public.secret}/"
    return {
        "challenges": [(who, f"{ROOT}/challenges/") for who in (me, coach, owner)],
        "challenge": [(who, one) for who in (me, other, coach, there.rival) for one in every],
        "challenge_post": [(coach, f"{one}post/") for one in stands],
        "challenge_sheet": [(coach, f"{stands[1]}post/sheet/")],
        "challenge_picture": [(coach, f"{stands[1]}post/picture.svg")],
        "season": [(who, f"{ROOT}/seasons/{Season.objects.get().pk}/") for who in (me, coach)],
        "change_season": [(coach, f"{ROOT}/seasons/{Season.objects.get().pk}/change/")],
        "ask": [(who, f"{ROOT}/sets/{asked}/1/ask/") for who in (me, other)],
        "questions": [(coach, f"{ROOT}/coach/questions/")],
        "public_posts": [(None, public)],
        "public_picture": [(None, f"{public}{Post.objects.get().pk}/picture.svg")],
    }
