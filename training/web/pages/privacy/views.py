"""What is kept about people, in plain words."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.web.pages.privacy.shown import show_privacy


@require_safe
def privacy(request: HttpRequest) -> HttpResponse:
    """What is kept, why, how long, who sees it, and whom to ask."""
    return render(request, "pages/privacy/privacy.html", {"shown": show_privacy()})
