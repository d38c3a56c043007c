"""A club of before reports were kept compactly."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from solverworker.review import check_plan
from tests.stack.old_clubs.old import Old

BEFORE = "0020"
PLANS = ("D' R'", "D D2 R'", "D")
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def reports() -> list[dict[str, Any]]:
    """As they were given."""
    made = [check_plan("R D", plan, colours=["yellow"]).to_dict() for plan in PLANS]
    # As a version before ideas were told wrote it.
    return [*made, {**made[0], "techniques": None, "version": 1}]


def figures(report: dict[str, Any]) -> dict[str, Any]:
    """What stands in columns of a verdict's own."""
    names = ("solved", "colour", "moves", "best", "excess", "colour_choice", "distance_left")
    return {name: report[name] for name in names}


def fill(old: Old) -> None:
    of = old.of
    club = of("Club").objects.create(name="Report Row", slug="report-row", time_zone="Europe/Oslo")
    person = of("Person").objects.create(sign_in_name="bashir", password="!")
    who = of("Membership").objects.create(
        club=club, person=person, display_name="Bashir", joined_at=NOW
    )
    scrambles = of("ScrambleSet").objects.create(
        club=club, kind="daily", opens_at=NOW, closes_at=NOW + timedelta(days=1),
        day=NOW.date(), draw_method="thirty_turns", colours=["yellow"],
    )  # fmt: skip
    for number, report in enumerate(reports(), start=1):
        scramble = of("Scramble").objects.create(scramble_set=scrambles, number=number, text="R D")
        plan = of("Plan").objects.create(
            membership=who, scramble=scramble, status="checked", written="", canonical="",
            key=f"00000000-0000-4000-8000-{number:012}", handed_in_at=NOW, rung_at=NOW,
            rules_version=3,
        )  # fmt: skip
        of("Verdict").objects.create(plan=plan, rules_version=3, report=report, **figures(report))
        of("Recheck").objects.create(plan=plan, rules_version=3, changes=False, report=report)


def found_before(old: Old) -> list[Any]:
    """The reports in the shape of before."""
    verdicts = old.of("Verdict").objects.filter(plan__membership__club__slug="report-row")
    return [one.report for one in verdicts.order_by("plan__scramble__number")]


def found() -> list[Any]:
    """Of each verdict its report, its ideas and the report of its recheck."""
    from training.models import Recheck, Verdict

    verdicts = Verdict.objects.filter(plan__membership__club__slug="report-row")
    return [
        [one.report, one.techniques, Recheck.objects.get(plan=one.plan_id).report]
        for one in verdicts.order_by("plan__scramble__number")
    ]
