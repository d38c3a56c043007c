"""Numbers from an address, which anybody can type."""

from django.http import HttpRequest


def number_asked(request: HttpRequest, name: str) -> int:
    """A whole number of the query, 0 when it is absent or none."""
    text = request.GET.get(name, "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 0
