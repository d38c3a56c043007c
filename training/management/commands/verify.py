"""``manage.py verify``: recompute what is derived from the plans, and compare."""

from __future__ import annotations

import os
import time
from collections.abc import Sequence
from typing import Any

from django.core.management.base import CommandError, CommandParser

from solverworker.outlook import PlanOutlook
from solverworker.report import PlanReport
from solverworker.review import check_plan, plan_outlook
from training import dispatch
from training.management.club import ClubCommand
from training.management.plural import counted
from training.models import Derived, Verification
from training.services import verifying

SHOWN = 50
DIFFERENCES, STOPPED = 1, 130
LOWEST_PRIORITY = 19


class Command(ClubCommand):
    help = (
        "Recompute every verdict and summary from the plans and tell where they differ; ends with "
        "status 1 when they do. Works at the lowest priority, beside a running site. Ctrl-C stops "
        "it; the same command goes on where it stopped."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument(
            "--repair",
            action="store_true",
            help="derive again what differs (verdicts and summaries; plans are never changed)",
        )
        parser.add_argument(
            "--queue",
            action="store_true",
            help="leave the work to the workers and return; --look tells how far they are",
        )
        parser.add_argument(
            "--look",
            action="store_true",
            help="recompute nothing: tell what the newest run found so far",
        )
        parser.add_argument(
            "--again", action="store_true", help="begin with the first plan, whatever was begun"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["again"]:
            verifying.begin_again()
        if options["queue"]:
            self._queue()
            return
        run = verifying.newest() if options["look"] else verifying.current()
        if run is None:
            raise CommandError("Nothing was ever recomputed here.")
        if not options["look"]:
            self._work_through(run)
        if options["repair"]:
            repaired = verifying.repair(run=run, check=_check_plan, make=_make_outlook)
            if repaired:
                self.stdout.write(f"{counted(repaired, 'difference')} put right.")
        self._report(run, repairing=options["repair"])

    def _queue(self) -> None:
        run = verifying.current()
        now = verifying.progress(run)
        if not dispatch.ask_for_verifying():
            raise CommandError(
                "The work queue cannot be reached. Without --queue the work is done here."
            )
        self.stdout.write(
            f"{now.plans:,} of {counted(now.of_plans, 'plan')} and {now.sets:,} of "
            f"{counted(now.of_sets, 'set')} recomputed; the workers go on."
        )

    def _work_through(self, run: Verification) -> None:
        try:
            os.nice(LOWEST_PRIORITY)
            self._work(run)
        except KeyboardInterrupt:
            raise CommandError(
                "\nStopped. The same command goes on from here.", returncode=STOPPED
            ) from None

    def _work(self, run: Verification) -> None:
        whole = verifying.progress(run)
        began = time.perf_counter()
        before = run.plans
        while verifying.work(run=run, check=_check_plan, make=_make_outlook):
            speed = (run.plans - before) / max(time.perf_counter() - began, 1e-9)
            self.stderr.write(
                f"Recomputed {run.plans:,} of {whole.of_plans:,} plans ({speed:,.0f} a second), "
                f"{run.sets:,} of {whole.of_sets:,} sets.",
                ending="\r",
            )
            self.stderr.flush()
        self.stderr.write("")

    def _report(self, run: Verification, *, repairing: bool) -> None:
        self.stdout.write(
            f"{counted(run.plans, 'plan')} and {counted(run.sets, 'set')} recomputed."
        )
        if run.older:
            self.stdout.write(
                f"{counted(run.older, 'verdict')} by older rules not compared: "
                "`manage.py recheck` brings them up to date."
            )
        found = run.differences.filter(repaired_at=None).order_by("pk")
        for one in found[:SHOWN]:
            self.stdout.write(f"  {Derived(one.kind).label}: {one.about}")
        count = found.count()
        if count > SHOWN:
            self.stdout.write(f"  … and {count - SHOWN:,} more.")
        if not count and run.ended_at is None:
            self.stdout.write("Nothing differs so far; the run is not finished.")
            return
        if not count:
            self.stdout.write("Nothing differs from the plans.")
            return
        differ = "differs" if count == 1 else "differ"
        way_out = (
            "What is left cannot be derived from the plans."
            if repairing
            else "`manage.py verify --repair` derives it again."
        )
        raise CommandError(
            f"{counted(count, 'thing')} {differ} from the plans. {way_out}", returncode=DIFFERENCES
        )


def _check_plan(scramble: str, plan: str, colours: Sequence[str]) -> PlanReport:
    return check_plan(scramble, plan, colours=colours)


def _make_outlook(scramble: str, plan: str, colours: Sequence[str], pair_ahead: str) -> PlanOutlook:
    return plan_outlook(scramble, plan, colours=colours, pair_ahead=pair_ahead)
