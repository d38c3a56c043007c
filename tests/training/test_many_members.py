"""Tables and reviews ask the database as often for a crowd over months as for three in a week."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, Given, make_membership
from tests.history import weeks_of_plans
from training.models import Club, Membership
from training.selectors import group_reviews, reviews, tables

pytestmark = pytest.mark.django_db

YESTERDAY = (NOON - timedelta(days=1)).date()
PAGES: dict[str, Callable[[Membership, Membership], Any]] = {
    "day": lambda coach, member: tables.day_table(member, YESTERDAY, NOON),
    "week": lambda coach, member: tables.week_table(member, YESTERDAY, NOON),
    "all time": lambda coach, member: tables.all_time_table(member, NOON),
    "progress": lambda coach, member: reviews.review_for(member, member.pk, NOON),
    "a member's": lambda coach, member: reviews.review_for(coach, member.pk, NOON),
    "group": lambda coach, member: group_reviews.group_review(coach, NOON, weeks=8),
}


def asked(page: Callable[[Membership, Membership], Any], who: tuple[Membership, Membership]) -> int:
    # As a request finds them: nothing of theirs was looked at before.
    coach, member = (
        Membership.objects.select_related("club", "person").get(pk=one.pk) for one in who
    )
    with CaptureQueriesContext(connection) as captured:
        page(coach, member)
    return len(captured)


def test_the_count_of_queries_does_not_grow_with_the_club(
    given: Given, club: Club, coach: Membership, member: Membership
) -> None:
    who = (coach, member)
    for one in (member, make_membership(club, "Bo"), make_membership(club, "Cy")):
        weeks_of_plans(given, one, 7, answered=one == member)
    few = {name: asked(page, who) for name, page in PAGES.items()}
    for number in range(5):
        weeks_of_plans(given, make_membership(club, f"Member {number}"), 7, answered=number < 2)
    many = {name: asked(page, who) for name, page in PAGES.items()}
    assert many == few
    assert max(many.values()) <= 23


def test_a_table_takes_its_plans_from_the_index_made_for_it(
    given: Given, coach: Membership, member: Membership
) -> None:
    weeks_of_plans(given, member, 2, answered=True)
    with CaptureQueriesContext(connection) as captured:
        tables.week_table(member, YESTERDAY, NOON)
    (of_plans,) = (
        one["sql"] for one in captured if "verdict" in one["sql"] and "FROM" in one["sql"]
    )
    with connection.cursor() as cursor:
        cursor.execute("EXPLAIN QUERY PLAN " + of_plans.replace("%", "%%"), [])
        steps = " / ".join(str(row[3]) for row in cursor.fetchall())
    assert "training_plan USING COVERING INDEX plan_in_tables" in steps, steps
