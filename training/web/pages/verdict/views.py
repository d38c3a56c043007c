"""What became of a plan: its member waits for the verdict here, and understands it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from training.models import Membership
from training.selectors.plans import ScrambleView, SetView
from training.selectors.questions import own_questions
from training.selectors.second_looks import second_looks
from training.web.admission import right_now
from training.web.pages.verdict.shown import show_page, show_state
from training.web.query import number_asked, way_asked


def verdict_page(
    request: HttpRequest, viewer: Membership, view: SetView, one: ScrambleView
) -> HttpResponse:
    """The verdict where it is open to the viewer, else the plan's state."""
    if one.plan is None or one.plan.report is None:
        waiting = show_state(viewer, view, one, right_now())
        return render(request, "pages/verdict/plan_state.html", {"shown": waiting})
    now = right_now()
    shown = show_page(
        viewer,
        view,
        one,
        now,
        questions=own_questions(viewer, now, set_id=view.head.id, number=one.number),
        found_again=second_looks(one.plan, view.head.id),
        way=way_asked(request),
        step=number_asked(request, "step"),
    )
    return render(request, "pages/verdict/verdict.html", {"shown": shown})
