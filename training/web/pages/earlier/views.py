"""Earlier days: every set that ever was, a month at a time."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training import clock
from training.models import Membership
from training.selectors.earlier import KINDS, earlier_sets, groups_of
from training.visibility import sees_group
from training.web.admission import member, right_now
from training.web.pages.earlier.forms import EarlierFilter
from training.web.pages.earlier.shown import months_between, show_earlier
from training.web.query import month_asked


@require_safe
@member
def earlier(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The sets of a month, newest first, each leading to its page, its plans, its table."""
    now = right_now()
    kind = request.GET.get("kind", "")
    kind = kind if kind in set(KINDS) else ""
    groups = groups_of(viewer) if sees_group(viewer) else []
    group = next((one for one, _name in groups if str(one) == request.GET.get("group")), None)
    month = month_asked(request, "month")
    found = earlier_sets(viewer, now, month=month, kind=kind, group=group)
    chosen = EarlierFilter(
        initial={"month": f"{found.month:%Y-%m}", "kind": kind, "group": group or ""},
        groups=groups,
        months=months_between(found),
        today=clock.local_date(now, viewer.club.zone),
    )
    shown = show_earlier(viewer, found, now, kind=kind, group=group)
    return render(request, "pages/earlier/earlier.html", {"shown": shown, "filter": chosen})
