"""Forms sent with something wrong, or right, whose answers must all be said in a tongue."""

from __future__ import annotations

from typing import Any

from tests.conftest import PHRASE
from tests.web.conftest import ROOT
from tests.web.people_pages import WRONG_ABOUT_PEOPLE

WRONG: list[tuple[str, str, dict[str, Any]]] = [
    ("", "/sign-in/", {}),
    ("", "/sign-in/", {"sign_in_name": "NOBODY", "phrase": "wrong phrase here"}),
    ("", "/code/", {}),
    ("", "/code/", {"sign_in_name": "NOBODY", "code": "AAAA-BBBB-CCCC"}),
    ("member", "/phrase/", {}),
    ("member", "/phrase/", {"phrase": "short"}),
    ("", "/join/{invite}/", {"step": "name"}),
    ("", "/join/{invite}/", {"step": "age", "done": "name", "display_name": "X"}),
    ("", "/join/{invite}/", {"step": "name", "display_name": "X" * 60}),
    (
        "",
        "/join/{invite}/",
        {
            "step": "account",
            "done": ["name", "age"],
            "display_name": "INES",
            "age": "over",
            "sign_in_name": "odd",
            "phrase": "aaaa",
        },
    ),
    (
        "",
        "/join/{invite}/",
        {
            "step": "account",
            "done": ["name", "age"],
            "display_name": "PIP",
            "age": "under",
            "sign_in_name": "PIP",
            "phrase": "nine paper lanterns",
        },
    ),
    ("coach", ROOT + "/people/", {"do": "invite", "places": "0", "days": "x", "role": "OWNER"}),
    ("coach", ROOT + "/people/", {"do": "invite", "places": "1", "days": "1", "role": "coach"}),
    ("owner", ROOT + "/people/", {"do": "invite", "places": "3", "days": "9", "role": "member"}),
    ("coach", ROOT + "/people/{child}/", {"do": "consent"}),
    ("coach", ROOT + "/people/{member}/", {"do": "code"}),
    ("member", "/data/", {"do": "sign_in_name", "sign_in_name": ""}),
    ("member", "/data/", {"do": "sign_in_name", "sign_in_name": "TWO WORDS"}),
    ("member", "/data/", {"do": "sign_in_name", "sign_in_name": "KARI"}),
    ("member", "/data/", {"do": "sign_in_name", "sign_in_name": "NEW"}),
    ("member", "/data/", {"do": "display_name", "club": "lantern-street", "display_name": ""}),
    ("member", "/data/", {"do": "display_name", "club": "lantern-street", "display_name": "KARI"}),
    ("member", "/data/", {"do": "display_name", "club": "lantern-street", "display_name": "NEW"}),
    ("member", "/data/erase/", {}),
    ("member", "/data/erase/", {"phrase": "not my phrase"}),
    ("member", "/data/erase/", {"phrase": PHRASE}),
    ("owner", "/data/erase/", {"phrase": PHRASE}),
    *(
        (who, ROOT + "/people/{member}/about/", data)
        for who in ("owner", "coach")
        for data in (
            {"do": "rename", "display_name": ""},
            {"do": "rename", "display_name": "KARI"},
            {"do": "rename", "display_name": "NEW"},
            {"do": "role"},
            {"do": "role", "role": "king"},
            {"do": "role", "role": "coach"},
            {"do": "role", "role": "hand_over"},
            {"do": "age"},
            {"do": "age", "age": "under"},
            {"do": "withdraw_consent"},
            {"do": "competes"},
            {"do": "competes", "in_tables": "no"},
        )
    ),
    ("owner", ROOT + "/people/{member}/erase/", {}),
    ("owner", ROOT + "/people/{member}/erase/", {"typed": "SOMEBODY"}),
    ("owner", ROOT + "/people/{member}/erase/", {"typed": "INES"}),
    ("coach", ROOT + "/settings/", {"do": "days"}),
    (
        "coach",
        ROOT + "/settings/",
        {
            "do": "days",
            "time_zone": "X",
            "colours": ["X"],
            "spelling": "X",
            "timing": "X",
            "held": "X",
            "answers_to": "closing",
            "table_to": "open",
            "best_sets_counted": "0",
            "technique_target": "100",
        },
    ),
    *(
        ("coach", ROOT + "/settings/series/" + which, {"do": "days", **wrong})
        for which in ("{series}/", "new/")
        for wrong in (
            {},
            {
                "begins_on": "X",
                "kind": "X",
                "weekdays": ["9"],
                "opens": "x",
                "closes": "x",
                "days_later": "99",
                "scrambles": "99",
                "colours": ["X"],
                "groups": ["X"],
            },
            {
                "begins_on": "2026-11-02",
                "kind": "daily",
                "opens": "10:00",
                "closes": "11:00",
                "days_later": "1",
                "scrambles": "3",
                "colours": ["white"],
                "spelling": "club",
                "timing": "either",
                "held": "written",
                "answers_to": "closing",
                "table_to": "open",
            },
        )
    ),
    *(("member", ROOT + "/calendar/", {"do": doing}) for doing in ("make", "take_back")),
    *(
        ("coach", ROOT + "/coach/sets/{today}/correct/", {"do": "window", **typed})
        for typed in (
            {},
            {"members": ["X"], "longer": "99", "because": ""},
            {"members": ["{member}"], "longer": "0", "because": "X"},
        )
    ),
    *(
        ("coach", ROOT + "/coach/week/" + where, {"do": doing, **typed})
        for where, doings in (
            ("2026-11-25/add/", ("look", "keep", "off")),
            ("2026-11-27/add/", ("look", "keep", "off", "on")),
            ("2026-11-27/{once}/", ("look", "move", "leave_out", "put_back")),
            ("2026-11-25/{series}/", ("leave_out", "put_back")),
            ("2026-11-27/copy/", ("keep",)),
        )
        for doing in doings
        for typed in (
            {"to_day": "X", "opens": "X", "closes": "X", "days_later": "X", "groups": ["9"]},
            {
                "version": "X",
                "to_day": "2026-11-28",
                "opens": "18:00",
                "closes": "20:00",
                "kind": "club_night",
                "days_later": "0",
                "scrambles": "3",
                "colours": ["red"],
            },
        )
    ),
    *(
        ("coach", ROOT + "/coach/holidays/", {"do": "look", "text": text})
        for text in (
            *("", "X", "2026-11-02", "2026-11-25"),
            *("2026-12-24\n2026-12-24 TO X", "2026-12-24 to 2026-12-01"),
        )
    ),
    ("coach", ROOT + "/settings/", {"do": "day_off", "day": "X"}),
    ("coach", ROOT + "/settings/", {"do": "day_off"}),
    ("coach", ROOT + "/settings/", {"do": "day_off", "day": "2026-11-25"}),
    ("coach", ROOT + "/settings/", {"do": "day_off", "day": "2026-11-02"}),
    ("coach", ROOT + "/settings/", {"do": "day_off", "day": "2026-11-25", "open_set": "X"}),
    *(
        (who, ROOT + address, data)
        for who in ("coach", "rival")
        for address in ("/coach/corrections/", "/coach/sets/{old}/correct/")
        for data in (
            {},
            {"undo": "1", "reason": ""},
            {"undo": "1", "reason": "AGAIN"},
            {"undo": "2", "reason": "AGAIN"},
            {"what": "9", "reason": ""},
            {"what": "1", "reason": "TORN"},
            {"what": "set", "reason": "POWER CUT"},
        )
    ),
    *(
        ("coach", ROOT + "/coach/plans/{plan}/", {"do": do, "reason": reason})
        for do in ("restore", "accept_rotation", "refuse_rotation", "withdraw")
        for reason in ("", "SO")
    ),
    ("coach", ROOT + "/coach/plans/{plan}/", {"do": "withdraw"}),
    ("coach", ROOT + "/coach/plans/{plan}/", {"do": "excuse_time"}),
    ("coach", ROOT + "/coach/plans/{plan}/", {"do": "excuse_time", "reason": "BAD LINE"}),
    ("coach", ROOT + "/coach/lessons/base_turn/", {}),
    (
        "coach",
        ROOT + "/coach/lessons/base_turn/",
        {
            "scrambles": "0",
            "shortest": "9",
            "longest": "1",
            "occasion": "homework",
            "opens_day": "2020-01-01",
            "days": "0",
        },
    ),
    (
        "coach",
        ROOT + "/coach/lessons/base_turn/",
        {
            "scrambles": "2",
            "shortest": "4",
            "longest": "5",
            "occasion": "club_night",
            "opens_day": "2026-11-24",
            "begins": "18:00",
            "minutes": "60",
        },
    ),
    *(
        ("newcomer", ROOT + "/sets/{today}/1/", {"plan": plan, **more})
        for plan, more in (
            ("", {}),
            ("R4", {}),
            ("r u r'", {}),
            ("(R U", {}),
            ("M' // take it out", {}),
            ("R U" * 60, {}),
            ("R" * 2100, {}),
            ("R", {"choice": "no_plan"}),
            ("", {"choice": "no_plan"}),
            ("", {"choice": "solved"}),
            ("z2 R", {}),
            ("R", {"do": "change"}),
            ("R", {"pair_ahead": "U R U'"}),
            ("R", {"pair_ahead": "R4"}),
            ("R", {"pair_ahead": "r u"}),
            ("R", {"pair_ahead": "R U" * 60}),
            ("R", {"pair_ahead": "R" * 2100}),
            ("", {"pair_ahead": "R", "choice": "no_plan"}),
            ("R", {"pair_ahead": "R", "do": "change"}),
        )
    ),
    ("member", ROOT + "/sets/{today}/1/", {"plan": "R", "do": "hand_in"}),
    ("member", ROOT + "/sets/{old}/5/", {"plan": "R", "do": "hand_in"}),
    *(
        ("newcomer", ROOT + "/sets/{today}/1/echo/", {"plan": plan})
        for plan in ("R4", "r u", "z2 R U", "x y R", "R" * 2100)
    ),
    ("newcomer", ROOT + "/sets/{today}/1/echo/", {"pair_ahead": "R4", "echo": "pair_ahead"}),
    ("coach", ROOT + "/challenges/", {"do": "announce"}),
    ("coach", ROOT + "/challenges/", {"do": "season"}),
    ("coach", ROOT + "/challenges/", {"do": "publish"}),
    ("owner", ROOT + "/challenges/", {"do": "publish"}),
    ("owner", ROOT + "/challenges/", {"do": "unpublish"}),
    ("member", ROOT + "/challenges/", {"do": "announce"}),
    *(
        (
            "coach",
            ROOT + "/challenges/",
            {
                "do": "announce",
                "challenge-opens_day": opens,
                "challenge-opens": "18:00",
                "challenge-closes_day": closes,
                "challenge-closes": "20:00",
                "challenge-scrambles": "5",
                "challenge-question_hours": "48",
                "challenge-colours": "white",
                "challenge-answers_to": "closing",
            },
        )
        for opens, closes in (
            ("2026-11-28", "2026-11-28"),
            ("2026-11-20", "2026-11-28"),
            ("2026-11-29", "2026-11-28"),
            ("9999-12-31", "9999-12-31"),
        )
    ),
    *(
        (
            "coach",
            ROOT + "/challenges/",
            {
                "do": "season",
                "season-name": name,
                "season-first_day": first,
                "season-last_day": "2027-05-01",
                "season-kinds": "challenge",
            },
        )
        for name, first in (
            ("AUTUMN", "2027-03-01"),
            ("X", "2026-11-01"),
            ("X", "2027-06-01"),
            ("SPRING", "2027-03-01"),
        )
    ),
    *(
        (who, ROOT + "/challenges/{" + state + "}/", {"do": do})
        for who in ("member", "coach", "rival")
        for state in ("announced", "open", "questions", "confirmed", "posted")
        for do in ("confirm", "call_off")
    ),
    *(
        ("coach", ROOT + "/challenges/{posted}/post/", {"words": words})
        for words in ([], ["nothing"])
    ),
    ("member", ROOT + "/sets/{old}/1/again/", {}),
    ("member", ROOT + "/sets/{old}/1/again/", {"written": "Q"}),
    ("member", ROOT + "/sets/{questions_set}/1/ask/", {}),
    ("member", ROOT + "/sets/{questions_set}/2/ask/", {"words": "WHY?"}),
    ("second", ROOT + "/sets/{questions_set}/1/ask/", {"words": "WHY?"}),
    *(
        (who, ROOT + "/coach/questions/", {"question": "{question}", **data})
        for who in ("coach", "rival")
        for data in (
            {},
            {"answer": "SO."},
            {"answer": "SO.", "correction": "rotation", "reason": "X"},
            {"answer": "SO.", "correction": "scramble_void"},
            {"answer": "SO.", "correction": "scramble_void", "reason": "X"},
            {"answer": "SO.", "correction": "king"},
        )
    ),
    ("coach", ROOT + "/seasons/{season}/", {}),
    ("member", ROOT + "/seasons/{season}/", {}),
    ("member", "/data/", {"do": "named", "club": "lantern-street"}),
    ("member", "/data/", {"do": "unnamed", "club": "lantern-street"}),
    ("coach", ROOT + "/people/{member}/about/", {"do": "agrees"}),
    ("coach", ROOT + "/people/{child}/about/", {"do": "agrees"}),
    *WRONG_ABOUT_PEOPLE,
]
