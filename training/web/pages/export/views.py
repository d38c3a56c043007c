"""Everything that the club owns, as one file; for its owners."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from training import clock
from training.models import Membership
from training.selectors.archive import archive_tables
from training.services.archiving import export_club
from training.web.admission import owner, right_now
from training.web.spreadsheet import style_asked


@require_http_methods(["GET", "HEAD", "POST"])
@owner
def export(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """What is in the archive; a POST is answered with it, piece by piece."""
    now = right_now()
    if request.method == "POST":
        return _archive(request, viewer)  # type: ignore[return-value]
    tables = [one.about for one in archive_tables(viewer.club, now)]
    return render(request, "pages/export/export.html", {"tables": tables})


def _archive(request: HttpRequest, viewer: Membership) -> HttpResponseBase:
    now = right_now()
    day = clock.local_date(now, viewer.club.zone)
    pieces = export_club(by=viewer, style=style_asked(request), now=now)
    name = f"within-eight-{viewer.club.slug}-{day.isoformat()}.zip"
    return StreamingHttpResponse(
        pieces,
        content_type="application/zip",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )
