"""The key to the notation, with pictures, and to the words of this site."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.web.pages.notation.shown import show_key


@require_safe
def notation(request: HttpRequest) -> HttpResponse:
    """Every kind of move: its picture, how it is written, what it costs. Then the words."""
    return render(request, "pages/notation/notation.html", {"shown": show_key()})
