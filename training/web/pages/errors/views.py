"""Pages for what does not work. Sealed and absent share one page, byte for byte."""

from __future__ import annotations

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from training.web.base.standing_in import ErrorShown, error_page


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """400, or 413 when more was sent than a form can hold."""
    if isinstance(exception, RequestDataTooBig):
        too_much = ErrorShown(
            _("Too much at once"),
            _("What you sent is larger than this page takes. Nothing was stored."),
            _("A plan has at most 80 moves. Go back, shorten it and send it again."),
        )
        return error_page(request, too_much, 413)
    unreadable = ErrorShown(
        _("This request cannot be read"),
        _("Something in it is not what this page expects. Nothing was stored."),
        _("Go back, reload the page and try again."),
    )
    return error_page(request, unreadable, 400)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """403: who may do it is in the exception's words."""
    said = str(exception) if exception and str(exception) else _("This page is not open to you.")
    shown = ErrorShown(_("Not open to you"), said, _("A coach of the club can help."))
    return error_page(request, shown, 403)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """404: not there, or not there yet. The page never says which."""
    shown = ErrorShown(
        _("Nothing here"),
        _("There is no page at this address, or it is not open yet."),
        _("Check the address, or start from the first page."),
    )
    return error_page(request, shown, 404)


def server_error(request: HttpRequest) -> HttpResponse:
    """500: drawn without the database, which may be what failed."""
    return HttpResponse(render_to_string("pages/errors/server_error.html"), status=500)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """403 for a form whose page is too old, with a way on."""
    shown = ErrorShown(
        _("This page was open too long"),
        _(
            "You signed in or out in the meantime, or this browser keeps no cookies. "
            "Nothing was stored."
        ),
        _("Go back: what you typed is still there. Copy it, reload the page and send it again."),
        kept=request.POST.get("plan", ""),
    )
    return error_page(request, shown, 403)
