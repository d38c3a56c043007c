"""A club of before plans had outlooks."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from solverworker.review import check_plan
from tests.stack.old_clubs.old import Old
from tests.stack.old_clubs.reports import NOW, figures

BEFORE = "0025"


def fill(old: Old) -> None:
    of = old.of
    club = of("Club").objects.create(
        name="Cobble Yard", slug="cobble-yard", time_zone="Europe/Oslo"
    )
    people = [
        of("Person").objects.create(sign_in_name=name, password="!") for name in ("ines", "gone")
    ]
    ines = of("Membership").objects.create(
        club=club, person=people[0], display_name="Ines", joined_at=NOW
    )
    gone = of("Membership").objects.create(
        club=club, person=people[1], display_name="", joined_at=NOW, standing="former"
    )
    scrambles = of("ScrambleSet").objects.create(
        club=club, kind="daily", opens_at=NOW, closes_at=NOW + timedelta(days=1),
        day=NOW.date(), draw_method="thirty_turns", colours=["yellow"],
    )  # fmt: skip
    scramble = of("Scramble").objects.create(scramble_set=scrambles, number=1, text="R D")
    report = check_plan("R D", "D' R'", colours=["yellow"]).to_dict()
    for number, who in enumerate((ines, gone)):
        plan = of("Plan").objects.create(
            membership=who, scramble=scramble, status="checked",
            canonical="D' R'" if who is ines else "",
            key=f"00000000-0000-4000-9000-{number:012}", handed_in_at=NOW, rung_at=NOW,
            rules_version=3,
        )  # fmt: skip
        of("Verdict").objects.create(plan=plan, rules_version=3, report=report, **figures(report))


def found() -> list[Any]:
    """Who waits for one, how many are then made, and what the only one says is left."""
    from solverworker import tasks
    from training.models import Outlook, Plan
    from training.services import outlooks

    here = Outlook.objects.filter(plan__membership__club__slug="cobble-yard")
    waiting = [[one.plan.membership.display_name, one.version] for one in here]
    plans = Plan.objects.filter(membership__club__slug="cobble-yard")
    made = outlooks.work(
        make=tasks.outlook_maker, plan_ids=list(plans.values_list("pk", flat=True))
    )
    return [waiting, made, here.get().facts["own"]["left"]]
