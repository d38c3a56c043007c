"""One plan read by a coach, who may correct what it counts or have it checked again."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from training.models import Corrected, Membership, Plan
from training.refusals import Refusal
from training.selectors import coach as selectors
from training.selectors.corrections import newest_of_plan
from training.selectors.earlier import reading_of
from training.selectors.second_looks import second_looks
from training.services import corrections
from training.services import plans as services
from training.web.admission import coach, right_now
from training.web.pages.coach_plan.forms import ReasonForm
from training.web.pages.coach_plan.shown import show_plan
from training.web.query import number_asked, way_asked

_SAID = {
    "withdraw": gettext_lazy("The plan is withdrawn and counts 8."),
    "restore": gettext_lazy("The plan counts again as it was handed in."),
    "accept_rotation": gettext_lazy("The rotation is accepted. The plan is being checked with it."),
    "refuse_rotation": gettext_lazy("The plan is being checked as it was written."),
    "excuse_time": gettext_lazy("The time is excused. The plan counts as its verdict says."),
    "charge_time": gettext_lazy("The plan counts 8 again for its time."),
}

_TAKEN_BACK = {
    "restore": Corrected.PLAN_WITHDRAWN,
    "refuse_rotation": Corrected.ROTATION,
    "charge_time": Corrected.TIME_EXCUSED,
}


def _correct(viewer: Membership, plan: Plan, doing: str, reason: str) -> None:
    """Make the entry. Raises Refusal."""
    if doing == "withdraw":
        corrections.withdraw_plan(plan=plan, by=viewer, reason=reason)
    elif doing == "accept_rotation":
        corrections.accept_rotation(plan=plan, by=viewer, reason=reason)
    elif doing == "excuse_time":
        corrections.excuse_time(plan=plan, by=viewer, reason=reason)
    else:
        entry = newest_of_plan(plan, _TAKEN_BACK[doing])
        if entry is not None:
            corrections.undo(correction=entry, by=viewer, reason=reason)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def plan(request: HttpRequest, viewer: Membership, plan_id: int) -> HttpResponse:
    """One member's plan with its ledger; a POST corrects it or has it checked again."""
    now = right_now()
    found, row = selectors.plan_for_coach(viewer, plan_id, now)
    doing = request.POST.get("do", "")
    forms = {
        one: ReasonForm(request.POST if doing == one else None, auto_id=f"id_{one}_%s")
        for one in _SAID
    }
    form = forms.get(doing, forms["withdraw"])
    if request.method == "POST":
        try:
            if doing == "check_again":
                services.check_again(plan=row, by=viewer)
                messages.warning(request, _("The plan is being checked again."))
                return HttpResponseRedirect(request.path)
            if doing in _SAID and form.is_valid():
                _correct(viewer, row, doing, form.cleaned_data["reason"])
                messages.warning(request, str(_SAID[doing]))
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            form.add_error(None, refusal.message)
    shown = show_plan(
        viewer,
        found,
        row,
        reading_of(found.head.id, found.plan.id),
        now,
        found_again=second_looks(found.plan, found.head.id),
        way=way_asked(request),
        step=number_asked(request, "step"),
    )
    status = 400 if request.method == "POST" else 200
    context = {"form": form, "forms": forms, "shown": shown}
    return render(request, "pages/coach_plan/coach_plan.html", context, status=status)
