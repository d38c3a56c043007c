"""Numbers from an address or a form, in which anybody can type anything."""

from django.http import HttpRequest


def number_asked(request: HttpRequest, name: str) -> int:
    """A whole number of the query, 0 when it is absent or none."""
    text = request.GET.get(name, "")
    return whole_number(text) if len(text) < 6 else 0


def whole_number(text: str) -> int:
    """A whole number that a database can hold, 0 for anything else.

    >>> whole_number("17"), whole_number("-1"), whole_number("²"), whole_number("9" * 5000)
    (17, 0, 0, 0)
    """
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else 0
