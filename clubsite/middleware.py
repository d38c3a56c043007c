"""Headers that every page of a signed-in person carries."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse


class PrivatePages:
    """Keep pages out of every shared cache, and off the disk.

    What one member may see another may not yet: an answer kept by a cache
    could be handed to the wrong person.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.setdefault("Cache-Control", "private, no-store")
        return response
