"""What a phone keeps of the site: its icon and name, and a page for when there is no line.

The page in reserve is the same for everybody and says nothing about anybody. What a member typed
it finds in the browser itself. Pages of a club are never kept.
"""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

PAPER = "#FBFAF7"
"""``--paper`` of ``tokens.css`` by day: a manifest cannot name a token."""

ICONS = (
    ("training/mark.svg", "any", "image/svg+xml", "any"),
    ("training/icon-192.png", "192x192", "image/png", "any"),
    ("training/icon-512.png", "512x512", "image/png", "any"),
    ("training/icon-512-full.png", "512x512", "image/png", "maskable"),
)
"""File, size, kind and purpose, as the W3C's Web Application Manifest has them."""

_NEEDED = re.compile(r'(?:href|src)="([^"]+)"')


@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    """What a phone needs to put the site among its programs (W3C, Web Application Manifest)."""
    answer = JsonResponse(
        {
            "id": "/",
            "name": "Within Eight",
            "short_name": "Within Eight",
            "description": _("Crosses to plan, every day."),
            "lang": get_language(),
            "start_url": reverse("first"),
            "scope": reverse("first"),
            "display": "standalone",
            "background_color": PAPER,
            "theme_color": PAPER,
            "icons": [
                {"src": static(file), "sizes": size, "type": kind, "purpose": purpose}
                for file, size, kind, purpose in ICONS
            ],
        },
        content_type="application/manifest+json",
    )
    answer["Cache-Control"] = "no-cache"
    return answer


@require_safe
def offline(request: HttpRequest) -> HttpResponse:
    """The page in reserve, as whoever has no line meets it: drawn without asking who that is."""
    answer = HttpResponse(_page())
    answer["Cache-Control"] = "no-cache"
    return answer


@require_safe
def service_worker(request: HttpRequest) -> HttpResponse:
    """The script that answers in the browser when the line is gone (W3C, Service Workers)."""
    script = _script(get_language() or settings.LANGUAGE_CODE)
    answer = HttpResponse(script, content_type="text/javascript; charset=utf-8")
    answer["Cache-Control"] = "no-cache"
    return answer


def _page() -> str:
    return render_to_string("pages/offline/offline.html")


@cache
def _script(language: str) -> str:
    """The same until the site is started anew; another page in reserve is another script."""
    page = _page()
    files = [
        address
        for address in dict.fromkeys(_NEEDED.findall(page))
        if address.startswith(settings.STATIC_URL)
    ]
    digest = hashlib.sha256("\n".join((language, page, *files)).encode()).hexdigest()[:12]
    reserve = {"name": f"reserve-{digest}", "page": reverse("offline"), "files": files}
    return render_to_string(
        "pages/offline/service_worker.js", {"reserve": json.dumps(reserve, indent=2)}
    )
