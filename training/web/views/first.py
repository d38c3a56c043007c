"""The first page: what this is, the way in, and one worked cross to step through."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from training.models import Membership, Standing
from training.selectors import clubs
from training.web.doors import person_of
from training.web.numbers import number_asked
from training.web.pictures import eight_rule
from training.web.remarks import lost_moves
from training.web.sheet import score_sheet
from training.web.steps import make_stepper
from training.web.words import first_loss, verdict_sentence
from training.web.worked import worked_cross


def home_of(membership: Membership) -> str:
    """Where a membership's day begins: a coach's at the overview, a member's at today's set."""
    name = "coach" if membership.is_coach and not membership.competes else "today"
    return reverse(name, args=[membership.club.slug])


@require_safe
def first(request: HttpRequest) -> HttpResponse:
    """Signed out: the first page. Signed in: the club, or the choice of one."""
    person = person_of(request)
    if person is None:
        return _first_page(request)
    if person.must_choose_phrase:
        return HttpResponseRedirect(reverse("phrase"))
    memberships = clubs.memberships_of(person)
    open_ones = [one for one in memberships if one.standing == Standing.ACTIVE]
    if len(open_ones) == 1:
        return HttpResponseRedirect(home_of(open_ones[0]))
    waiting = [one for one in memberships if one.standing == Standing.CONSENT]
    if waiting and not open_ones:
        return render(request, "training/pages/consent.html", {"waiting_in": waiting[0].club})
    doors = [(one.club.name, home_of(one)) for one in open_ones]
    return render(request, "training/pages/clubs.html", {"doors": doors})


def _first_page(request: HttpRequest) -> HttpResponse:
    worked = worked_cross()
    lost = first_loss(worked.report.ledger)
    return render(
        request,
        "training/pages/first.html",
        {
            "sheet": score_sheet(worked.scramble),
            "verdict": verdict_sentence(worked.report),
            "lost": lost,
            "called": next(iter(lost_moves(worked.scramble, worked.report)), None),
            "rule": eight_rule(worked.report.best, worked.report.moves),
            "plan": worked.report.canonical,
            "stepper": make_stepper(
                worked.scramble,
                worked.report,
                way=number_asked(request, "way"),
                step=number_asked(request, "step"),
                name="The plan",
            ),
        },
    )
