"""The address of a scramble: the attempt while there is no plan, from then on its verdict.

One address, so that a link to a scramble, a reload and the way back after handing in all lead
to what is true now. The two pages know nothing of each other.
"""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.selectors import plans
from training.selectors.plans import State
from training.web.admission import member, right_now
from training.web.pages.attempt.views import attempt_page, take_entry
from training.web.pages.verdict.views import verdict_page


@require_http_methods(["GET", "HEAD", "POST"])
@member
def scramble(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """Ask the database which of the two pages it is."""
    view, one = plans.scramble_for(viewer, set_id, number, right_now())
    if request.method == "POST":
        return take_entry(request, viewer, view, one)
    if one.state == State.TO_PLAN:
        return attempt_page(request, viewer, view, one)
    return verdict_page(request, viewer, view, one)
