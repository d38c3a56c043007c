"""Asking the coach about a verdict or a scramble of any set."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.selectors.plans import scramble_for, scramble_row
from training.selectors.questions import own_questions
from training.services import questions
from training.web.admission import member, right_now
from training.web.pages.ask.forms import AskForm
from training.web.parts.asked import AskedShown, show_asked
from training.web.parts.of_set import OfSet, of_set


@dataclass(frozen=True, slots=True)
class AskShown:
    """What ``pages/ask/ask.html`` needs; ``waits``: a question about it has no answer yet."""

    of_set: OfSet
    asked: tuple[AskedShown, ...]
    waits: bool


@require_http_methods(["GET", "HEAD", "POST"])
@member
def ask(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """The form, and below it what was asked about this scramble and answered."""
    now, status = right_now(), 200
    view, one = scramble_for(viewer, set_id, number, now)
    form = AskForm(request.POST if request.method == "POST" else None)
    if request.method == "POST":
        status = 400
        try:
            if form.is_valid():
                scramble = scramble_row(viewer, set_id, number, now)
                questions.ask(by=viewer, scramble=scramble, now=now, **form.cleaned_data)
                messages.success(request, _("Asked. The answer stands here once a coach gives it."))
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            status = refusal.status
            form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
    found = own_questions(viewer, now, set_id=set_id, number=number)
    shown = AskShown(
        of_set=of_set(viewer, view, one, now),
        asked=show_asked(reversed(found), now, viewer.club.zone),
        waits=any(each.answered_at is None for each in found),
    )
    return render(request, "pages/ask/ask.html", {"shown": shown, "form": form}, status=status)
