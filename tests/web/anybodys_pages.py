"""The pages that are there for everybody, signed in or not, and who asks for them."""

from __future__ import annotations

from training.models import Membership


def pages_of_anybody(
    me: Membership, coach: Membership
) -> dict[str, list[tuple[Membership | None, str]]]:
    return {
        "notation": [(None, "/notation/")],
        "guide": [(None, "/guide/"), (me, "/guide/")],
        "guide_coach": [(None, "/guide/coaches/"), (coach, "/guide/coaches/")],
        "guide_parents": [(None, "/guide/parents/")],
        "offline": [(None, "/offline/")],
        "sign_in": [(None, "/sign-in/")],
        "code": [(None, "/code/")],
        "privacy": [(None, "/privacy/"), (me, "/privacy/")],
    }
