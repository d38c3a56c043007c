"""Homework for one member, drawn to the idea that costs that member most."""

from __future__ import annotations

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training import clock
from training.models import Membership, ScrambleSet
from training.refusals import Refusal
from training.selectors.lessons import matching_crosses
from training.selectors.own_homework import HomeworkForOne, homework_for_one
from training.services.lesson_sets import call_off, make_homework
from training.web.admission import coach, right_now
from training.web.pages.homework.forms import HomeworkForm
from training.web.pages.homework.shown import ideas_to_choose, show_homework
from training.web.parts.rules_of_one import rules_entered, rules_of_club
from training.web.query import whole_number
from training.web.saying.ideas import idea_name

_FIELD_OF_REFUSAL = {"lengths": "shortest"}


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def homework(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """The evidence and the form; a POST gives the set, or calls one off that has not opened."""
    now = right_now()
    found = homework_for_one(viewer, membership_id, now)
    if "call_off" in request.POST:
        try:
            call_off(by=viewer, set_id=whole_number(request.POST["call_off"]), now=now)
            messages.success(request, _("It is called off. Nobody saw anything of it."))
        except Refusal as refusal:
            messages.error(request, refusal.message)
        return HttpResponseRedirect(request.path)
    shortest, longest = found.lengths
    initial = {
        "code": found.dearest.code if found.dearest else "",
        "shortest": shortest,
        "longest": longest,
        "opens_day": clock.local_date(now, viewer.club.zone) + timedelta(days=1),
        **rules_of_club(viewer.club),
    }
    sent = request.POST if request.method == "POST" else None
    form = HomeworkForm(ideas_to_choose(found), sent, initial=initial)
    if sent is not None and form.is_valid() and _give(viewer, found, form) is not None:
        words = _("Homework is given to {name}.").format(name=found.member.display_name)
        messages.success(request, words)
        return HttpResponseRedirect(request.path)
    context = {"shown": show_homework(viewer, found, now), "form": form}
    status = 400 if form.is_bound else 200
    return render(request, "pages/homework/homework.html", context, status=status)


def _give(viewer: Membership, found: HomeworkForOne, form: HomeworkForm) -> ScrambleSet | None:
    """Make the set; None after a refusal, which then stands at its field."""
    entry = form.cleaned_data
    lengths = entry["shortest"], entry["longest"]
    if matching_crosses(entry["code"], *sorted(lengths)) == 0:
        said = _("No cross of these lengths calls for {idea}.")
        form.add_error("shortest", said.format(idea=idea_name(entry["code"])))
        return None
    try:
        return make_homework(
            by=viewer,
            code=entry["code"],
            scrambles=entry["scrambles"],
            lengths=lengths,
            opens_day=entry["opens_day"],
            days=entry["days"],
            member=found.member,
            rules=rules_entered(viewer.club, entry),
            now=right_now(),
        )
    except Refusal as refusal:
        field = _FIELD_OF_REFUSAL.get(refusal.field or "", refusal.field)
        form.add_error(field if field in form.fields else None, refusal.message)
        return None
