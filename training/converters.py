"""Parts of addresses that pages and API read alike.

The views of both import this module for its registrations: Django refuses the
same name twice.
"""

from __future__ import annotations

from datetime import date

from django.urls import register_converter

from training import clock


class Day:
    """A date as year-month-day, of a year in reach; anything else is no address."""

    regex = "[0-9]{4}-[0-9]{2}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        """Raises ValueError, upon which the address leads nowhere."""
        day = date.fromisoformat(value)
        if not clock.is_in_reach(day):
            raise ValueError(f"no set was or will be issued in {day.year}")
        return day

    def to_url(self, value: date) -> str:
        return value.isoformat()


register_converter(Day, "day")
