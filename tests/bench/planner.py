"""How long the planner's week takes: a club with twenty series and a year of sets.

    python -m tests.bench.planner [requests]

Signed in as a coach, through the whole of Django, on a SQLite file as the site is shipped: this
week, next week and a week of half a year ago, 100 requests each unless told. Median and the
slowest of twenty.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from datetime import timedelta

REQUESTS = 100
SERIES = 20
DAYS = 365


def main() -> None:
    """Make the club, ask for three weeks and print the times."""
    requests = int(sys.argv[1]) if len(sys.argv) > 1 else REQUESTS
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "clubsite.settings.base",
            "SECRET_KEY": "only-for-a-measurement-" + "0123456789abcdef" * 2,
            "DATABASE_URL": f"sqlite:///{folder}/club.sqlite3",
            "WITHIN_EIGHT_DATA": folder,
            "REDIS_URL": "memory://",
            "ALLOWED_HOSTS": "testserver",
        }
        import django

        django.setup()
        from django.core.management import call_command

        call_command("migrate", verbosity=0)
        _measure(requests)


def _measure(requests: int) -> None:
    from django.test import Client
    from django.utils import timezone

    from tests.conftest import make_membership
    from training.models import Role, ScrambleSet, Series

    club = _a_club()
    coach = make_membership(club, "Kari", Role.COACH)
    client = Client()
    client.force_login(coach.person, backend="training.services.backends.PhraseBackend")
    today = timezone.now().date()
    print(f"{Series.objects.count()} series, {ScrambleSet.objects.count():,} sets")
    weeks = {"this week": 0, "next week": 7, "half a year ago": -182}
    for name, away in weeks.items():
        address = f"/c/{club.slug}/coach/week/{today + timedelta(days=away)}/"
        taken = []
        for _ in range(requests):
            began = time.perf_counter()
            answer = client.get(address)
            taken.append(1000 * (time.perf_counter() - began))
            assert answer.status_code == 200, answer.status_code
        slow = statistics.quantiles(taken, n=20)[-1]
        print(f"{name}: median {statistics.median(taken):.1f} ms, 95 % within {slow:.1f} ms")


def _a_club():  # type: ignore[no-untyped-def]
    """Twenty series for ten groups, each with days that go otherwise, and what they issued."""
    from django.utils import timezone

    from training.models import Club, OtherDay, ScrambleSet, Series
    from training.selectors import occurrences

    club = Club.objects.create(name="Bench", slug="bench", time_zone="Europe/Oslo")
    groups = [club.groups.create(name=f"Group {n}") for n in range(10)]
    today = timezone.now().date()
    for n in range(SERIES - 1):
        one = Series.objects.create(club=club, weekdays=[n % 7, (n + 3) % 7], days_later=n % 4)
        one.groups.set(groups[n % 10 : n % 10 + 2])
    for one in Series.objects.filter(club=club):
        days = one.days(today - timedelta(days=DAYS), today)
        OtherDay.objects.bulk_create(OtherDay(series=one, day=day) for day in days[::9])
        sets = occurrences.of_series(one, today - timedelta(days=DAYS), today)
        ScrambleSet.objects.bulk_create(
            ScrambleSet(
                club=club,
                series=one,
                kind=one.kind,
                day=each.day,
                opens_at=each.window.opens_at,
                closes_at=each.window.closes_at,
            )
            for each in sets
        )
    return club


if __name__ == "__main__":
    main()
