"""The coach's day, and one plan read by a coach."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from solverworker.cube.net import net
from training.models import Membership
from training.selectors import coach as selectors
from training.selectors.group_reviews import group_review
from training.selectors.plans import State
from training.services import plans as services
from training.services.errors import Refusal
from training.web.cards import plan_text, set_line, state_words
from training.web.coachview import first_need, show_causes, show_day, show_overview
from training.web.doors import coach, right_now
from training.web.forms import ReasonForm
from training.web.numbers import number_asked
from training.web.pictures import draw_net
from training.web.sheet import score_sheet
from training.web.times import say
from training.web.verdicts import show_verdict

LIVE = "live"


@require_safe
@coach
def overview(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Today's hand-ins as they come in, who is missing, and the week's moves lost."""
    now = right_now()
    found = selectors.overview(viewer, now)
    facts: dict[str, Any] = {"overview": show_overview(viewer, found, now)}
    # The page asks for itself every few seconds; what it takes in then has none of the review.
    if request.GET.get("part") != LIVE:
        review = group_review(viewer, now)
        facts["causes"] = show_causes(viewer, found, review)
        facts["first_need"] = first_need(viewer, review)
    return render(request, "training/pages/coach.html", facts)


@require_safe
@coach
def one_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """Everybody's plans of one set, an earlier one for example."""
    now = right_now()
    facts = {"day": show_day(viewer, selectors.set_overview(viewer, set_id, now), now)}
    return render(request, "training/pages/coach_set.html", facts)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def plan(request: HttpRequest, viewer: Membership, plan_id: int) -> HttpResponse:
    """One member's plan with its ledger; a coach may withdraw it or have it checked again."""
    now = right_now()
    found, row = selectors.plan_for_coach(viewer, plan_id, now)
    form = ReasonForm(request.POST if request.POST.get("do") == "withdraw" else None)
    status = 200
    if request.method == "POST":
        try:
            if request.POST.get("do") == "check_again":
                services.check_again(plan=row, by=viewer)
                messages.info(request, "The plan is being checked again.", extra_tags="mark")
                return HttpResponseRedirect(request.path)
            if form.is_valid():
                services.withdraw_plan(plan=row, by=viewer, reason=form.cleaned_data["reason"])
                messages.info(request, "The plan is withdrawn and counts 8.", extra_tags="mark")
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            form.add_error(None, refusal.message)
        status = 400
    one = found.plan
    state, tone = state_words(one.state, found.head, one)
    facts = {
        "form": form,
        "line": set_line(found.head, now, viewer.club.zone),
        "plan": one,
        "plan_text": plan_text(one),
        "state": state,
        "tone": tone,
        "handed_in": say(one.handed_in_at, now, viewer.club.zone),
        "sheet": score_sheet(found.scramble),
        "failed": one.state == State.FAILED,
        "withdrawn": one.state == State.WITHDRAWN,
    }
    if one.report is None:
        facts["net"] = draw_net(net(found.scramble))
    else:
        facts["verdict"] = show_verdict(
            found.scramble,
            one.report,
            way=number_asked(request, "way"),
            step=number_asked(request, "step"),
            name=f"{one.member}’s plan",
        )
    return render(request, "training/pages/coach_plan.html", facts, status=status)
