"""Numbers from an address or a form, in which anybody can type anything."""

from datetime import date

from django.http import HttpRequest

from training.clock import is_in_reach


def number_asked(request: HttpRequest, name: str) -> int:
    """A whole number of the query, 0 when it is absent or none."""
    text = request.GET.get(name, "")
    return whole_number(text) if len(text) < 6 else 0


def way_asked(request: HttpRequest) -> int | None:
    """The number of a way to step through; None where the address says neither way nor step."""
    if "way" not in request.GET and "step" not in request.GET:
        return None
    return number_asked(request, "way")


def whole_number(text: str) -> int:
    """A whole number that a database can hold, 0 for anything else.

    >>> whole_number("17"), whole_number("-1"), whole_number("²"), whole_number("9" * 5000)
    (17, 0, 0, 0)
    """
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else 0


def month_asked(request: HttpRequest, name: str) -> date | None:
    """The first day of a month of the query ("2026-11"); None when it is absent or none."""
    return _day(f"{request.GET.get(name, '')}-01")


def day_asked(request: HttpRequest, name: str) -> date | None:
    """A date of the query ("2026-11-25"); None when it is absent or none."""
    return _day(request.GET.get(name, ""))


def _day(text: str) -> date | None:
    """A date as browsers send it, near enough for sums.

    >>> _day("2026-11-25"), _day("2026-13-01"), _day("9999-12-31"), _day("20261125")
    (datetime.date(2026, 11, 25), None, None, None)
    """
    if not (len(text) == 10 and text[4] == text[7] == "-"):
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if is_in_reach(day) else None
