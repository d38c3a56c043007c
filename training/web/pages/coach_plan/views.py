"""One plan read by a coach, who may withdraw it or have it checked again."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.selectors import coach as selectors
from training.services import plans as services
from training.web.admission import coach, right_now
from training.web.pages.coach_plan.forms import ReasonForm
from training.web.pages.coach_plan.shown import show_plan
from training.web.query import number_asked


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def plan(request: HttpRequest, viewer: Membership, plan_id: int) -> HttpResponse:
    """One member's plan with its ledger; a POST withdraws it or has it checked again."""
    now = right_now()
    found, row = selectors.plan_for_coach(viewer, plan_id, now)
    doing = request.POST.get("do")
    form = ReasonForm(request.POST if doing == "withdraw" else None)
    if request.method == "POST":
        try:
            if doing == "check_again":
                services.check_again(plan=row, by=viewer)
                messages.warning(request, _("The plan is being checked again."))
                return HttpResponseRedirect(request.path)
            if form.is_valid():
                services.withdraw_plan(plan=row, by=viewer, reason=form.cleaned_data["reason"])
                messages.warning(request, _("The plan is withdrawn and counts 8."))
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            form.add_error(None, refusal.message)
    shown = show_plan(
        viewer, found, now, way=number_asked(request, "way"), step=number_asked(request, "step")
    )
    status = 400 if request.method == "POST" else 200
    context = {"form": form, "shown": shown}
    return render(request, "pages/coach_plan/coach_plan.html", context, status=status)
