"""Settings: how the daily sets are made, and days off."""

from __future__ import annotations

from datetime import date, timedelta

from solverworker.tasks import DRAWERS
from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import (
    Club,
    DayOff,
    Membership,
    ScrambleSet,
)
from training.services.issuing import issue_due

DAY = timedelta(days=1)


def series_page(club: Club) -> str:
    return f"{ROOT}/settings/series/{club.first_series.pk}/"


class TestSettings:
    GOOD = {
        "do": "save",
        "time_zone": "Europe/Oslo",
        "colours": ["yellow", "white"],
        "spelling": "strict",
        "timing": "timed",
        "held": "written",
        "answers_to": "own_plan",
        "table_to": "closing",
        "best_sets_counted": 2,
        "technique_target": 80,
    }
    DAYS = {
        "do": "save",
        "kind": "daily",
        "weekdays": [0, 2, 4],
        "opens": "18:00",
        "closes": "20:00",
        "days_later": 0,
        "scrambles": 3,
        "spare": "on",
        "club_rules": "on",
        "colours": ["white"],
        "spelling": "club",
        "timing": "either",
        "held": "free",
        "answers_to": "own_plan",
        "table_to": "own_plan",
    }

    def test_saving_changes_the_next_sets(self, coach: Membership, club: Club) -> None:
        reader = reader_for(coach)
        page = series_page(club)
        reader.post(f"{ROOT}/settings/", self.GOOD, status=302)
        reader.post(page, self.DAYS, status=302)
        club.refresh_from_db()
        assert club.first_series.weekdays == [0, 2, 4]
        assert club.colours == ["white", "yellow"]
        assert club.technique_target == 80
        issue_due(drawer=DRAWERS.daily, now=NOON)
        upcoming = ScrambleSet.objects.get(day=date(2026, 11, 25))
        assert upcoming.scrambles.count() == 3
        assert upcoming.colours == ["white", "yellow"]
        assert 'value="18:00"' in reader.get(page)
        said = words(reader.get(f"{ROOT}/settings/"))
        assert "Monday, Wednesday and Friday, 18:00 to 20:00: 3 crosses." in said

    def test_what_would_change_is_told_first_with_its_day(
        self, coach: Membership, club: Club, given: Given
    ) -> None:
        given.a_set()
        reader = reader_for(coach)
        said = words(reader.post(f"{ROOT}/settings/", self.GOOD | {"do": "days"}))
        # Wednesday's set is open.
        assert "From the set of Thursday 26 November:" in said
        assert "Cross colours allowed: white and yellow (so far: yellow)" in said
        assert "From the week of Monday 30 November:" in said
        assert "Best sets of a week that count: 2 (so far: all)" in said
        assert "At once: Target for each idea, out of 100: 80 (so far: 70)" in said
        assert "Whatever has opened stays as it is" in said
        club.refresh_from_db()
        assert club.colours == ["yellow"]
        said = words(reader.post(series_page(club), self.DAYS | {"do": "days"}))
        # Thursday has none by the new weekdays.
        assert "From the set of Friday 27 November:" in said
        assert "Opens at: 18:00 (so far: 00:00)" in said
        assert "Scrambles in each set: 3 (so far: 5)" in said
        assert club.first_series.scrambles == 5

    def test_a_table_before_its_answers_is_refused_at_its_field(self, coach: Membership) -> None:
        entry = self.GOOD | {"answers_to": "closing", "table_to": "open"}
        page = reader_for(coach).post(f"{ROOT}/settings/", entry, status=400)
        assert "The table cannot open before the answers" in words(page)
        assert 'href="#id_table_to"' in page

    def test_days_off_come_and_go(self, coach: Membership, club: Club) -> None:
        reader = reader_for(coach)
        entry = {"do": "day_off", "day": "2026-12-24", "reason": "Christmas Eve"}
        reader.post(f"{ROOT}/settings/", entry, status=302)
        assert "Thursday 24 December: Christmas Eve" in words(reader.get(f"{ROOT}/settings/"))
        reader.post(f"{ROOT}/settings/", {"do": "remove_day_off", "day": "2026-12-24"}, status=302)
        assert not DayOff.objects.exists()
        page = reader.post(f"{ROOT}/settings/", {"do": "day_off", "day": "soon"}, status=400)
        assert "Write the date as year-month-day" in words(page)
