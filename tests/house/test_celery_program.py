"""The worker's and the clock's own way in: Celery's options, less to load. Common practice."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from clubsite.deploy.celery_program import main

ROOT = Path(__file__).parents[2]

LOOK = """
import contextlib, gc, io, json, sys
from celery.signals import worker_init
from clubsite.deploy import celery_program

said, done = io.StringIO(), None
with contextlib.redirect_stdout(said):
    try:
        celery_program.main(["worker", "--help"])
    except SystemExit as end:
        done = end.code
before = gc.isenabled()
worker_init.send(sender=None)
print(json.dumps({
    "said": said.getvalue(), "done": done, "before": before, "after": gc.isenabled(),
    "frozen": gc.get_freeze_count(),
    "loaded": sorted({"click_repl", "prompt_toolkit", "celery.bin.amqp"} & set(sys.modules)),
}))
"""


def test_it_takes_celerys_options_and_loads_no_other_command_of_it() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOOK],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "clubsite.settings.test"},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    found = json.loads(done.stdout)
    assert found["done"] == 0
    assert "--concurrency" in found["said"]
    assert "--without-mingle" in found["said"]
    assert found["loaded"] == []
    # What was loaded is left out of the looks for garbage, which go on before there are children.
    assert (found["before"], found["after"]) == (False, True)
    assert found["frozen"] > 10_000


@pytest.mark.parametrize("words", [[], ["shell"], ["--help"]])
def test_another_command_is_refused_in_a_sentence(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert capsys.readouterr().err == "Say which: worker or beat.\n"
