"""``demo``: made once, taken up again when cut short, quick the second time, fresh when asked."""

from __future__ import annotations

import json
import re
import urllib.request
from pathlib import Path

import pytest

from tests.stack.servers import wait_for
from tests.stack.serving import INT, STAGES_OF_A_START, TERM, Serving, end_at, get, without_a_note

STAGES = (*zip(STAGES_OF_A_START, (INT, TERM, INT, TERM), strict=True), ("web_server", INT))
"""Both signals at the stages that both have, and while a site is open."""


def facts(data: Path) -> dict[str, object]:
    found: dict[str, object] = json.loads((data / "folder.json").read_text())
    return found


def sign_in(address: str, name: str, phrase: str) -> int:
    request = urllib.request.Request(
        f"{address}/api/v1/tokens/",
        data=json.dumps({"sign_in_name": name, "phrase": phrase}).encode(),
        headers={"Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request, timeout=30) as answer:
        return int(answer.status)


def printed_accounts(text: str) -> tuple[list[str], str]:
    """The sign-in names and the pass phrase that were printed."""
    phrase = re.search(r"pass phrase of all of them: (.+)", text)
    members = re.search(r"members\s+(.+)", text)
    assert phrase is not None
    assert members is not None
    return members[1].split(", "), phrase[1]


@pytest.mark.slow
def test_a_demo_is_cut_short_at_every_stage_and_opens_all_the_same(
    folder: Path, tmp_path: Path
) -> None:
    data = folder / "demo"
    # An operator's own database must be left alone, whatever the variables say.
    owned = {"DATABASE_URL": f"sqlite:///{folder}/precious.sqlite3"}
    owned |= without_a_note(tmp_path)
    filled, made_again = [], []
    for stage, number in STAGES:
        one = Serving(data, "--no-input", command="demo", environ=owned)
        try:
            end_at(one, stage, number)
            assert not (data / "run.json").exists()
        finally:
            one.close()
        filled.append("filled" in facts(data))
        made_again.append("was not finished last time. It is made again." in one.text)
    # It has its weeks once a site of it has opened; what was cut short before is made again.
    assert filled == [False, False, False, True, True]
    assert (made_again[0], *made_again[3:]) == (False, True, False)

    second = Serving(data, command="demo")
    try:
        address = second.wait_until_open()
        assert "Demo club" not in second.text
        assert "The demo club is open" in second.text
        names, phrase = printed_accounts(second.text)
        assert len(names) >= 12
        assert sign_in(address, names[0], phrase) == 201
        assert sign_in(address, names[-1], phrase) == 201
        assert get(address + "/")[0] == 200
    finally:
        second.close()
    assert not (folder / "precious.sqlite3").exists()
    assert [entry.name for entry in folder.iterdir()] == ["demo"]


def test_fresh_empties_the_demo_before_it_is_made_again(folder: Path) -> None:
    data = folder / "demo"
    data.mkdir()
    (data / "folder.json").write_text(json.dumps({"kind": "demo", "filled": "2026-01-01"}))
    (data / "club.sqlite3").write_bytes(b"of yesterday")
    one = Serving(data, "--fresh", "--no-input", command="demo")
    try:
        wait_for(lambda: "filled" not in facts(data), "it is emptied", 60)
    finally:
        one.close()
