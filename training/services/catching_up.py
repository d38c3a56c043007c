"""After an upgrade: old verdicts by the newer rules, and summaries that agree with the verdicts.

What is to be done is marked before the site opens and the mark is taken away when all of it
is done, so that one broken off is begun again at the next start, and pages can say meanwhile
that what they sum up may still change.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime

from django.utils import timezone

from training.models import Heartbeat, ScrambleSet, Verdict
from training.selectors.health import CATCHING_UP
from training.services import rechecks, summaries

EVERY_SECONDS = 10.0
"""How often progress is told."""

Say = Callable[[str], None]


def mark_if_due(*, upgraded: bool) -> bool:
    """Mark that there is something to catch up with; whether there is.

    ``upgraded``: another version of the site served this database last. Then summaries are
    compared, because what stands in them may have changed its meaning.
    """
    backlog = rechecks.backlog()
    if backlog.old > backlog.done or (upgraded and Verdict.objects.exists()):
        Heartbeat.objects.get_or_create(name=CATCHING_UP, defaults={"beaten_at": timezone.now()})
    return Heartbeat.objects.filter(name=CATCHING_UP).exists()


def catch_up(*, check: rechecks.Checker, say: Say, now: datetime | None = None) -> None:
    """Do all of it, telling how far it is; then take the mark away."""
    _bring_verdicts_up(check, say, now)
    _bring_summaries_up(say)
    Heartbeat.objects.filter(name=CATCHING_UP).delete()


def _bring_verdicts_up(check: rechecks.Checker, say: Say, now: datetime | None) -> None:
    backlog = rechecks.backlog()
    if backlog.old > backlog.done:
        say(
            "The rules by which plans are judged have changed. Plans are checked anew: "
            f"{backlog.old - backlog.done:,}. Until that is done the old results stand."
        )
        progress = _Progress("Checked anew", backlog.old, say, backlog.done)
        while found := rechecks.work(check=check):
            progress.add(found)
    done = rechecks.switch(now=now)
    if done.plans:
        say(f"By the newer rules now: plans {done.plans:,}, in sets {done.sets:,}.")
    if done.held and backlog.old > backlog.done:
        say(
            f"Results in closed sets stay as they were ({done.held:,}). To look at them and change "
            "them:  python3 manage.py recheck --look"
        )


def _bring_summaries_up(say: Say) -> None:
    ids = list(ScrambleSet.objects.order_by("pk").values_list("pk", flat=True))
    progress = _Progress("Summaries compared, by set", len(ids), say)
    differing = 0
    for set_id in ids:
        if summaries.differences_of_set(set_id):
            differing += 1
            summaries.renew_sets(set_ids=[set_id])
        progress.add(1)
    if differing:
        say(f"Summaries that differed from the verdicts were made anew, in sets: {differing:,}.")


class _Progress:
    def __init__(self, what: str, of: int, say: Say, done: int = 0) -> None:
        self._what, self._of, self._say, self._done = what, of, say, done
        self._told = time.monotonic()

    def add(self, count: int) -> None:
        self._done += count
        if time.monotonic() - self._told >= EVERY_SECONDS:
            self._told = time.monotonic()
            percent = 100 * self._done // max(1, self._of)
            self._say(f"{self._what}: {self._done:,} of {self._of:,} ({percent} %).")
