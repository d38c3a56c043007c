"""Celery tasks: take ids, call the mathematics, save through the club's services."""

from __future__ import annotations

from collections.abc import Sequence

from celery import shared_task

from solverworker import worker_start
from solverworker.outlook import PlanOutlook
from solverworker.report import PlanReport
from solverworker.review import check_plan as review_plan
from solverworker.review import plan_outlook
from solverworker.search.scramble import draw_scrambles
from solverworker.techniques.drawing import draw_called
from training import dispatch
from training.services import hooks as hook_services
from training.services import outlooks as outlook_services
from training.services import periodic, rechecks, verdicts, verifying
from training.services.sets import Drawers

__all__ = [
    "DRAWERS",
    "check_plan",
    "checker",
    "hooks",
    "outlook_maker",
    "outlooks",
    "recheck",
    "sweep",
    "tick",
    "verify",
    "worker_start",
]

DRAWERS = Drawers(daily=draw_scrambles, picked=draw_called)


@shared_task(name="solverworker.check_plan")
def check_plan(*plan_ids: int) -> bool:
    """Check waiting plans and record their verdicts. Returns whether this run recorded them all.

    Delivered twice it changes nothing; killed at any point it leaves a waiting
    row behind, which the sweep rings for again. An error leaves the row to the
    sweep too, until its attempts are used up.
    """
    recorded = {plan_id: _check(plan_id) for plan_id in plan_ids}
    if new := [plan_id for plan_id, done in recorded.items() if done]:
        dispatch.ask_for_outlooks_after_commit(*new)
    return all(recorded.values())


def _check(plan_id: int) -> bool:
    claimed = verdicts.claim(plan_id=plan_id)
    if claimed is None:
        return False
    report = review_plan(claimed.scramble, claimed.plan, colours=claimed.colours)
    return verdicts.record(plan_id=plan_id, report=report)


@shared_task(name="solverworker.outlooks")
def outlooks(*plan_ids: int) -> int:
    """Say what plans leave, now that their verdicts are there. Returns of how many.

    Told of no plan it takes the next that wait, and asks for more while there
    are any: so the sweep has done what messages were lost for, and what an
    upgrade left to do. Each is stored as soon as it is made; a worker that is
    killed loses the one in hand, which waits on.
    """
    done = outlook_services.work(make=outlook_maker, plan_ids=plan_ids)
    if done and not plan_ids:
        dispatch.ask_for_outlooks()
    return done


def outlook_maker(scramble: str, plan: str, colours: Sequence[str], pair_ahead: str) -> PlanOutlook:
    """Make an outlook as the services want it done."""
    return plan_outlook(scramble, plan, colours=colours, pair_ahead=pair_ahead)


@shared_task(name="solverworker.recheck")
def recheck() -> int:
    """Check the next old plans by newer rules; asks for more while there are any. Returns how many.

    One batch a message, so that nothing is held long and a worker that stops
    loses one batch at most.
    """
    done = rechecks.work(check=checker)
    if done:
        dispatch.ask_for_recheck()
    return done


@shared_task(name="solverworker.verify")
def verify() -> int:
    """Recompute the next plans or sets of a run; asks for more while there are any.

    Returns how many. One batch a message, as with :func:`recheck`.
    """
    done = verifying.work(run=verifying.current(), check=checker, make=outlook_maker)
    if done:
        dispatch.ask_for_verifying()
    return done


def checker(scramble: str, plan: str, colours: Sequence[str]) -> PlanReport:
    """Check a plan as the services want it done."""
    return review_plan(scramble, plan, colours=colours)


@shared_task(name="training.sweep")
def sweep() -> int:
    """Ring again for plans that wait too long. Returns for how many."""
    return periodic.sweep()


@shared_task(name="training.hooks")
def hooks() -> int:
    """Tell web hooks what waits for them. Returns how many were tried."""
    return hook_services.deliver()


@shared_task(name="training.tick")
def tick() -> None:
    """All that should be so by now and is not: sets issued, closed sets finished."""
    periodic.tick(drawers=DRAWERS)
