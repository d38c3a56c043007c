"""Pages and entries about groups, lists, cards and homework for one, read in another tongue."""

from __future__ import annotations

from typing import Any

from tests.web.conftest import ROOT
from training.models import Membership


def pages_about_people(
    coach: Membership, member: Membership
) -> dict[str, list[tuple[Membership | None, str]]]:
    """By the name of the address."""
    return {
        "groups": [(coach, f"{ROOT}/groups/")],
        "homework": [(coach, f"{ROOT}/coach/members/{member.pk}/homework/")],
        "people_list": [(coach, f"{ROOT}/people/list/")],
        "cards": [(coach, f"{ROOT}/people/cards/")],
    }


WRONG_ABOUT_PEOPLE: list[tuple[str, str, dict[str, Any]]] = [
    ("coach", ROOT + "/coach/members/{member}/homework/", {}),
    ("coach", ROOT + "/coach/members/{member}/homework/", {"call_off": "1"}),
    ("coach", ROOT + "/groups/", {"do": "make", "name": ""}),
    ("coach", ROOT + "/groups/", {"do": "make", "name": "LEVEL 1"}),
    ("coach", ROOT + "/groups/", {"do": "make", "name": "X" * 41}),
    ("coach", ROOT + "/groups/", {"do": "look"}),
    ("coach", ROOT + "/groups/", {"do": "look", "who": "{member}", "group": "none"}),
    *(
        (
            "coach",
            ROOT + "/groups/",
            {"do": doing, "who": "{member}", "group": "none", "from_day": day},
        )
        for doing in ("look", "move")
        for day in ("0001-01-01", "2026-11-25", "2026-12-24")
    ),
    ("coach", ROOT + "/people/list/", {"do": "look", "text": ""}),
    *(
        ("coach", ROOT + "/people/list/", {"do": doing, "text": text})
        for doing in ("look", "save")
        for text in (
            "INES",
            "BO\nBO",
            "TRAINER BO",
            "BO;NOBODYS",
            "BO;;MAYBE",
            "BO;;no;MOTHER",
            "BO;;;;MORE",
            ";X",
            "BO;;yes",
            "BO;;yes;MOTHER",
            "\n".join(f"BO {n}" for n in range(101)),
        )
    ),
    ("coach", ROOT + "/people/list/", {"do": "undo", "list": "1"}),
    ("coach", ROOT + "/people/cards/", {}),
    ("coach", ROOT + "/people/cards/", {"who": "never", "again": "on"}),
]
"""As in ``wrong_entries.py``."""
