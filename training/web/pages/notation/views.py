"""The key to the notation, with pictures."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.web.pages.notation.shown import show_kinds


@require_safe
def notation(request: HttpRequest) -> HttpResponse:
    """Every kind of move: its picture, how it is written, what it costs."""
    return render(request, "pages/notation/notation.html", {"kinds": show_kinds()})
