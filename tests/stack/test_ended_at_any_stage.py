"""Ctrl-C and SIGTERM at every stage of a first start end all children, and the next one works.

Of a demo the same is asked in ``test_demo``.
"""

from __future__ import annotations

from pathlib import Path

from tests.stack.serving import INT, STAGES_OF_A_START, TERM, Serving, end_at, without_a_note

OF_A_CLUB = (("janitor", TERM), (STAGES_OF_A_START[0], TERM), (STAGES_OF_A_START[1], INT))


def test_a_club_is_ended_in_its_first_start_and_gets_its_link_all_the_same(
    folder: Path, tmp_path: Path
) -> None:
    data = folder / "club"
    variables = without_a_note(tmp_path)
    for stage, number in OF_A_CLUB:
        one = Serving(data, environ=variables)
        try:
            end_at(one, stage, number)
        finally:
            one.close()
    last = Serving(data)
    try:
        last.wait_until_open()
        assert "/start/" in last.text or "manage.py ownerlink" in last.text
    finally:
        last.close()
