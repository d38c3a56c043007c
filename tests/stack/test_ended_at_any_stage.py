"""Ctrl-C and SIGTERM at every stage of a start end all children, and the next start works."""

from __future__ import annotations

import signal
from pathlib import Path

from tests.stack.servers import wait_for
from tests.stack.serving import Serving, assert_gone

STAGES = ("manage.py prepare", "manage.py warmup", "manage.py demoseed", "web_server")
"""By the process that marks each: the tables are made, the solver is compiled, the history is
written, the site opens."""


INT, TERM = signal.SIGINT, signal.SIGTERM
OF_A_DEMO = (*zip(STAGES, (INT, TERM, INT, TERM), strict=True), ("web_server", INT))
OF_A_CLUB = (("janitor", TERM), (STAGES[0], TERM), (STAGES[1], INT))
"""Both signals at the stages that both have, and while a site is open."""


def test_a_demo_is_ended_and_started_again(folder: Path) -> None:
    data = folder / "demo"
    for stage, number in OF_A_DEMO:
        one = Serving(data, "--no-input", command="demo")
        try:
            wait_for(lambda one=one, stage=stage: one.child(stage), stage, 120)
            family = one.family()
            one.send(number)
            assert one.wait() in (0, 130), one.text
            assert "Traceback" not in one.text
            assert_gone(family, seconds=10)
            assert not (data / "run.json").exists()
        finally:
            one.close()
    last = Serving(data, "--no-input", command="demo")
    try:
        last.wait_until_open()
        assert "The demo club is open" in last.text
    finally:
        last.close()


def test_a_club_is_ended_in_its_first_start_and_gets_its_link_all_the_same(folder: Path) -> None:
    data = folder / "club"
    for stage, number in OF_A_CLUB:
        one = Serving(data)
        try:
            wait_for(lambda one=one, stage=stage: one.child(stage), stage, 120)
            family = one.family()
            one.send(number)
            one.wait()
            assert "Traceback" not in one.text
            assert_gone(family, seconds=10)
        finally:
            one.close()
    last = Serving(data)
    try:
        last.wait_until_open()
        assert "/start/" in last.text or "manage.py ownerlink" in last.text
    finally:
        last.close()
