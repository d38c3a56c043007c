"""A lesson on one technique: the evidence, and a set drawn to it in one action."""

from __future__ import annotations

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from solverworker.cube.cross import STATE_COUNT
from training import clock
from training.models import Kind, Membership, ScrambleSet
from training.refusals import InvalidEntry, Refusal
from training.selectors import lessons as selectors
from training.selectors.group_reviews import group_review
from training.services.lesson_sets import call_off, make_club_night, make_homework
from training.web.admission import coach, right_now
from training.web.pages.lesson.forms import LessonSetForm
from training.web.pages.lesson.shown import Place, show_lesson
from training.web.query import number_asked
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.times import say_day


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def lesson(request: HttpRequest, viewer: Membership, code: str) -> HttpResponse:
    """Show the evidence; a POST gives a set for it."""
    now = right_now()
    found = selectors.lesson(viewer, code, now)
    tomorrow = clock.local_date(now, viewer.club.zone) + timedelta(days=1)
    shortest, longest = found.lengths
    initial = {"shortest": shortest, "longest": longest, "opens_day": tomorrow}
    if "call_off" in request.POST:
        return _called_off(request, viewer, code)
    form = LessonSetForm(request.POST if request.method == "POST" else None, initial=initial)
    if request.method == "POST" and form.is_valid():
        made = _give(viewer, code, form)
        if made is not None:
            messages.success(request, _given(made, viewer, code), extra_tags="kept")
            return HttpResponseRedirect(reverse("lesson", args=[viewer.club.slug, code]))
    names = request.GET.get("names") == "1"
    place = Place(*(number_asked(request, name) for name in ("cross", "plan", "step")))
    asked = [number_asked(request, name) for name in ("shortest", "longest")]
    low, high = asked if all(asked) else found.lengths
    facts = {
        "idea": idea_name(code),
        "meaning": idea_meaning(code),
        "names": names,
        "here": request.path,
        "form": form,
        "matching": matching_words(selectors.matching_crosses(code, low, high)),
        "shown": show_lesson(
            viewer, found, group_review(viewer, now), now, names=names, place=place
        ),
    }
    status = 400 if form.is_bound else 200
    return render(request, "pages/lesson/lesson.html", facts, status=status)


def matching_words(matching: int | None) -> str:
    """How many crosses there are to choose from.

    >>> matching_words(47176), matching_words(0)
    ('47,176 of the 190,080 crosses match.', 'No cross of these lengths calls for it.')
    """
    if matching is None:
        return "A worker draws the crosses."
    if not matching:
        return "No cross of these lengths calls for it."
    return f"{matching:,} of the {STATE_COUNT:,} crosses match."


def _give(viewer: Membership, code: str, form: LessonSetForm) -> ScrambleSet | None:
    """Make the set; None after a refusal, which then stands at its field."""
    entry = form.cleaned_data
    lengths = entry["shortest"], entry["longest"]
    if selectors.matching_crosses(code, *sorted(lengths)) == 0:
        form.add_error("shortest", f"No cross of these lengths calls for {idea_name(code)}.")
        return None
    try:
        asked = {
            "by": viewer,
            "code": code,
            "scrambles": entry["scrambles"],
            "lengths": lengths,
            "now": right_now(),
        }
        if entry["occasion"] == Kind.CLUB_NIGHT:
            evening = {name: entry[name] for name in ("begins", "minutes")}
            return make_club_night(**asked, day=entry["opens_day"], **evening)
        return make_homework(**asked, opens_day=entry["opens_day"], days=entry["days"])
    except Refusal as refusal:
        field = {"lengths": "shortest"}.get(refusal.field or "", refusal.field)
        form.add_error(field if field in form.fields else None, refusal.message)
        return None


def _called_off(request: HttpRequest, viewer: Membership, code: str) -> HttpResponse:
    number = request.POST["call_off"]
    try:
        call_off(by=viewer, set_id=int(number) if number.isdecimal() else 0, now=right_now())
    except InvalidEntry as refusal:
        messages.error(request, refusal.message)
    else:
        messages.success(request, "It is called off. Nobody saw anything of it.")
    return HttpResponseRedirect(reverse("lesson", args=[viewer.club.slug, code]))


def _given(made: ScrambleSet, viewer: Membership, code: str) -> str:
    zone = viewer.club.zone
    today = clock.local_date(right_now(), zone)
    crosses = (
        "1 cross that calls"
        if made.scrambles_wanted == 1
        else (f"{made.scrambles_wanted} crosses that call")
    )
    what = f"{crosses} for {idea_name(code)}"
    if made.kind == Kind.CLUB_NIGHT:
        opens, closes = (f"{at.astimezone(zone):%H:%M}" for at in (made.opens_at, made.closes_at))
        return f"A club night is set: {what}, {say_day(made.day, today)} from {opens} to {closes}."
    last = clock.closing_day(made.closes_at, zone)
    return f"Homework is given: {what}, from {say_day(made.day, today)} to {say_day(last, today)}."
