"""Pages for what does not work. Sealed and absent share one page, byte for byte."""

from __future__ import annotations

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string


def _page(
    request: HttpRequest, status: int, title: str, said: str, then: str, kept: str = ""
) -> HttpResponse:
    facts = {"title": title, "said": said, "then": then, "kept": kept}
    return render(request, "training/pages/error.html", facts, status=status)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """400, or 413 when more was sent than a form can hold."""
    if isinstance(exception, RequestDataTooBig):
        return _page(
            request,
            413,
            "Too much at once",
            "What you sent is larger than this page takes. Nothing was stored.",
            "A plan has at most 80 moves. Go back, shorten it and send it again.",
        )
    return _page(
        request,
        400,
        "This request cannot be read",
        "Something in it is not what this page expects. Nothing was stored.",
        "Go back, reload the page and try again.",
    )


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """403: who may do it is in the exception's words."""
    said = str(exception) if exception and str(exception) else "This page is not open to you."
    return _page(request, 403, "Not open to you", said, "A coach of the club can help.")


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """404: not there, or not there yet. The page never says which."""
    return _page(
        request,
        404,
        "Nothing here",
        "There is no page at this address, or it is not open yet.",
        "Check the address, or start from today’s set.",
    )


def server_error(request: HttpRequest) -> HttpResponse:
    """500: drawn without the database, which may be what failed."""
    return HttpResponse(render_to_string("training/pages/server_error.html"), status=500)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """403 for a form whose page is too old, with a way on."""
    return _page(
        request,
        403,
        "This page was open too long",
        "You signed in or out in the meantime, or this browser keeps no cookies. "
        "Nothing was stored.",
        "Go back: what you typed is still there. Copy it, reload the page and send it again.",
        kept=request.POST.get("plan", ""),
    )
