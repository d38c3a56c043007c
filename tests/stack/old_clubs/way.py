"""The way of all old clubs: up to today, back to where the oldest began, and up again.

``python -m tests.stack.old_clubs.way`` goes it in a database that stands where the oldest begins
and prints as JSON what was found where. What is written is written between two migrations of one
``migrate``: to make the models of all tables anew for each stop takes longer than the rest.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import django

Stops = dict[str, Callable[[], None]]
"""What is done once the database stands at a migration, by the migration's number."""


def go(to: str, stops: Stops) -> None:
    """Migrate, stopping on the way; every stop must be come to.

    Args:
        to: the number of ours that it goes to; empty for today.
        stops: what is done where.
    """
    from django.core.management import call_command
    from django.core.management.commands import migrate

    left = dict(stops)

    class Stopping(migrate.Command):
        def migration_progress_callback(
            self, action: str, migration: Any = None, fake: bool = False
        ) -> None:
            super().migration_progress_callback(action, migration, fake)
            if migration is None or migration.app_label != "training":
                return
            number = migration.name.partition("_")[0]
            if action == "unapply_success":
                # It stands where the one before it had brought it.
                number = f"{int(number) - 1:04}"
            if action in ("apply_success", "unapply_success") and number in left:
                left.pop(number)()

    target = ("training", to) if to else ()
    call_command(Stopping(), *target, interactive=False, verbosity=0)
    assert not left, f"The way to {to or 'today'} did not come by {sorted(left)}."


def all_the_way() -> dict[str, Any]:
    """What was found on it, by subject and place."""
    from tests.stack.old_clubs import days, groups, outlooks, periods, reports
    from tests.stack.old_clubs.old import Old

    found: dict[str, Any] = {}

    def note(name: str, what: Callable[[], Any]) -> None:
        found[name] = what()

    def fill_the_last() -> None:
        groups.fill(Old(groups.BEFORE))
        days.fill()

    def look_at_the_last() -> None:
        note("groups, back", lambda: groups.found_before(Old(groups.BEFORE)))
        note("days, back", days.found_before)

    def look_at_the_first() -> None:
        note("reports, back", lambda: reports.found_before(Old(reports.BEFORE)))

    reports.fill(Old(reports.BEFORE))
    note("reports, as given", reports.reports)
    go("", {
        periods.BEFORE: periods.fill,
        outlooks.BEFORE: lambda: outlooks.fill(Old(outlooks.BEFORE)),
        days.BEFORE: fill_the_last,
        days.WITH: lambda: note("days, with series", days.found),
    })  # fmt: skip
    for when in ("today", "again"):
        note(f"reports, {when}", reports.found)
        note(f"periods, {when}", periods.found)
        note(f"outlooks, {when}", outlooks.found)
        note(f"groups, {when}", groups.found)
        note(f"days, {when}", days.found)
        if when == "today":
            go(reports.BEFORE, {days.BEFORE: look_at_the_last, reports.BEFORE: look_at_the_first})
            go("", {})
    return found


if __name__ == "__main__":
    django.setup()
    print(json.dumps(all_the_way()))
