"""``manage.py recheck``: old plans by new rules."""

from __future__ import annotations

import time
from collections.abc import Sequence
from itertools import islice
from typing import Any

from django.core.management.base import CommandError, CommandParser

from solverworker.report import SOLVER_VERSION, PlanReport
from solverworker.review import check_plan
from training import dispatch
from training.management.club import ClubCommand
from training.management.plural import counted
from training.services import rechecks
from training.services.rechecks import Change

SHOWN_CHANGES = 50


class Command(ClubCommand):
    help = (
        "Check the plans again that were checked by older rules, show whose result changes, then "
        "switch to the newer verdicts. Members see nothing of it before the switch. If it is "
        "broken off, the same command goes on where it stopped."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument(
            "--look", action="store_true", help="check and show, but switch nothing"
        )
        parser.add_argument(
            "--with-closed",
            action="store_true",
            help="change results in closed sets too (without it they stay as they are)",
        )
        parser.add_argument(
            "--queue",
            action="store_true",
            help="leave the checking to the workers and return; run again to see how far they are",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        old = rechecks.backlog().old
        if not old:
            self.stdout.write(f"Every verdict was reached by the current rules, {SOLVER_VERSION}.")
            return
        if options["queue"]:
            self._queue()
            return
        self._check(old)
        self._show(options["with_closed"])
        if options["look"]:
            return
        began = time.perf_counter()
        done = rechecks.switch(
            with_closed=options["with_closed"],
            told=lambda plans: self._line("Switched", plans, old, began),
        )
        self.stderr.write("")
        now = "is now by the newer rules" if done.plans == 1 else "are now by the newer rules"
        self.stdout.write(f"{counted(done.plans, 'verdict')} of {counted(done.sets, 'set')} {now}.")
        if done.held:
            self.stdout.write(_held_in_words(done.held))

    def _queue(self) -> None:
        now = rechecks.backlog()
        if now.done == now.old:
            self.stdout.write(
                f"{now.done:,} of {counted(now.old, 'plan')} checked. Run it again without --queue "
                "to see whose result changes and to switch."
            )
            return
        if not dispatch.ask_for_recheck():
            raise CommandError(
                "The work queue cannot be reached. Without --queue the checking is done here."
            )
        self.stdout.write(f"{now.done:,} of {counted(now.old, 'plan')} checked; the workers go on.")

    def _check(self, old: int) -> None:
        began = time.perf_counter()
        before = rechecks.backlog().done
        done = before
        while found := rechecks.work(check=_check_plan):
            done += found
            self._line("Checked", done, old, began, since=before)
        self.stderr.write("")

    def _line(self, what: str, done: int, of: int, began: float, *, since: int = 0) -> None:
        speed = (done - since) / max(time.perf_counter() - began, 1e-9)
        self.stderr.write(
            f"{what} {done:,} of {of:,} ({100 * done // max(1, of)} %), {speed:,.0f} a second.",
            ending="\r",
        )
        self.stderr.flush()

    def _show(self, with_closed: bool) -> None:
        found = list(islice(rechecks.changes(), SHOWN_CHANGES + 1))
        if not found:
            self.stdout.write("No result changes, only what the pages tell about the plans.")
            return
        self.stdout.write("Whose result changes:")
        for change in found[:SHOWN_CHANGES]:
            self.stdout.write("  " + _in_words(change, with_closed))
        if len(found) > SHOWN_CHANGES:
            self.stdout.write("  … and more.")


def _check_plan(scramble: str, plan: str, colours: Sequence[str]) -> PlanReport:
    return check_plan(scramble, plan, colours=colours)


def _in_words(change: Change, with_closed: bool) -> str:
    where = f"{change.member}, {change.club}, {change.day}, scramble {change.number}"
    if change.trouble:
        return f"{where}: keeps its verdict. {change.trouble}"
    left = " (closed: left as it is)" if change.held and not with_closed else ""
    return f"{where}: {_over(change.before)}, now {_over(change.after)}{left}"


def _held_in_words(count: int) -> str:
    """What is said of results that a switch left alone.

    >>> _held_in_words(1)
    '1 result of a closed set stays as it was; --with-closed changes it too.'
    """
    if count == 1:
        return "1 result of a closed set stays as it was; --with-closed changes it too."
    return f"{count:,} results of closed sets stay as they were; --with-closed changes them too."


def _over(excess: int | None) -> str:
    return "not solved" if excess is None else f"{excess} over"
