"""A lesson: the evidence, and for a technique a set drawn to it in one action."""

from __future__ import annotations

from datetime import datetime, timedelta
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from training import clock
from training.models import Kind, Membership, ScrambleSet
from training.refusals import InvalidEntry, Refusal
from training.selectors import lessons as selectors
from training.selectors.clubs import groups_of
from training.selectors.group_reviews import HABITS, group_review
from training.selectors.habit_lessons import habit_lesson
from training.services.groups import groups_named
from training.services.lesson_sets import call_off, make_club_night, make_homework
from training.services.taught_lessons import note_lesson, take_back_lesson
from training.web.admission import coach, right_now
from training.web.pages.lesson.addresses import addresses
from training.web.pages.lesson.cross_shown import SteppedTo
from training.web.pages.lesson.forms import HeldForm, LessonSetForm
from training.web.pages.lesson.habit_shown import show_habit
from training.web.pages.lesson.shown import show_lesson
from training.web.parts.rules_of_one import rules_entered, rules_of_club
from training.web.query import number_asked, whole_number
from training.web.saying.ideas import idea_name
from training.web.saying.times import say_day

_FIELD_OF_REFUSAL = {"lengths": "shortest", "day": "opens_day"}
"""Where a refusal stands in the form, if not at the field that it names."""


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def lesson(request: HttpRequest, viewer: Membership, code: str) -> HttpResponse:
    """Show the evidence; a POST gives a set for an idea, or notes that a habit was taught."""
    now = right_now()
    group = request.GET.get("group", "")
    if code in HABITS:
        return _habit(request, viewer, code, now, group)
    found = selectors.lesson(viewer, code, now, group=group)
    here = HttpResponseRedirect(addresses(viewer, code, group)["here"])
    tomorrow = clock.local_date(now, viewer.club.zone) + timedelta(days=1)
    shortest, longest = found.lengths
    initial = {
        "shortest": shortest,
        "longest": longest,
        "opens_day": tomorrow,
        "group": group,
        **rules_of_club(viewer.club),
    }
    if "call_off" in request.POST:
        _call_off(request, viewer)
        return here
    form = LessonSetForm(
        request.POST if request.method == "POST" else None,
        groups=groups_of(viewer.club),
        initial=initial,
    )
    if request.method == "POST" and form.is_valid():
        made = _give(viewer, code, form)
        if made is not None:
            messages.success(request, _given(made, viewer, code))
            return here
    names = _with_names(request)
    kept = {"group": group} if group else {}
    kept |= {"names": "1"} if names else {}
    at = SteppedTo(
        cross=number_asked(request, "cross"),
        plan=number_asked(request, "plan"),
        step=number_asked(request, "step"),
        kept=f"{urlencode(kept)}&" if kept else "",
    )
    typed = request.POST if form.is_bound else request.GET
    asked = [whole_number(typed.get(name, "")) for name in ("shortest", "longest")]
    low, high = asked if all(asked) else found.lengths
    shown = show_lesson(
        viewer,
        found,
        group_review(viewer, now, group=group),
        now,
        names=names,
        at=at,
        matching=selectors.matching_crosses(code, low, high),
    )
    status = 400 if form.is_bound else 200
    context = {"form": form, "shown": shown}
    return render(request, "pages/lesson/lesson.html", context, status=status)


def _with_names(request: HttpRequest) -> bool:
    return request.GET.get("names") == "1"


def _habit(
    request: HttpRequest, viewer: Membership, code: str, now: datetime, group: str
) -> HttpResponse:
    """A lesson on a habit has no set: a POST notes that it was held, or takes a note back."""
    here = HttpResponseRedirect(addresses(viewer, code, group)["here"])
    if "take_back" in request.POST:
        try:
            take_back_lesson(by=viewer, lesson_id=whole_number(request.POST["take_back"]))
        except InvalidEntry as refusal:
            messages.error(request, refusal.message)
        else:
            messages.success(request, _("The note is taken back."))
        return here
    found = habit_lesson(viewer, code, now, group=group)
    form = HeldForm(
        request.POST if request.method == "POST" else None,
        groups=found.groups,
        initial={"day": clock.local_date(now, viewer.club.zone), "group": group},
    )
    if form.is_bound and form.is_valid():
        try:
            note_lesson(by=viewer, code=code, now=now, **form.cleaned_data)
        except Refusal as refusal:
            form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        else:
            messages.success(request, _("Noted. What changed since is told here."))
            return here
    shown = show_habit(viewer, found, now, names=_with_names(request), group=group)
    status = 400 if form.is_bound else 200
    context = {"form": form, "shown": shown}
    return render(request, "pages/lesson/habit.html", context, status=status)


def _give(viewer: Membership, code: str, form: LessonSetForm) -> ScrambleSet | None:
    """Make the set; None after a refusal, which then stands at its field."""
    entry = form.cleaned_data
    lengths = entry["shortest"], entry["longest"]
    if selectors.matching_crosses(code, *sorted(lengths)) == 0:
        said = _("No cross of these lengths calls for {idea}.").format(idea=idea_name(code))
        form.add_error("shortest", said)
        return None
    try:
        asked = {
            "by": viewer,
            "code": code,
            "scrambles": entry["scrambles"],
            "lengths": lengths,
            "groups": list(groups_named(viewer.club, filter(None, [entry["group"]])).values()),
            "rules": rules_entered(viewer.club, entry),
            "now": right_now(),
        }
        if entry["occasion"] == Kind.CLUB_NIGHT:
            evening = {name: entry[name] for name in ("begins", "minutes")}
            return make_club_night(**asked, day=entry["opens_day"], **evening)
        return make_homework(**asked, opens_day=entry["opens_day"], days=entry["days"])
    except Refusal as refusal:
        field = _FIELD_OF_REFUSAL.get(refusal.field or "", refusal.field)
        form.add_error(field if field in form.fields else None, refusal.message)
        return None


def _call_off(request: HttpRequest, viewer: Membership) -> None:
    try:
        call_off(by=viewer, set_id=whole_number(request.POST["call_off"]), now=right_now())
    except InvalidEntry as refusal:
        messages.error(request, refusal.message)
    else:
        messages.success(request, _("It is called off. Nobody saw anything of it."))


def _given(made: ScrambleSet, viewer: Membership, code: str) -> str:
    zone = viewer.club.zone
    today = clock.local_date(right_now(), zone)
    what = {
        "what": ngettext(
            "{number} cross that calls for {idea}",
            "{number} crosses that call for {idea}",
            made.scrambles_wanted,
        ).format(number=made.scrambles_wanted, idea=idea_name(code)),
        "day": say_day(made.day, today),
    }
    if made.kind == Kind.CLUB_NIGHT:
        opens, closes = (f"{at.astimezone(zone):%H:%M}" for at in (made.opens_at, made.closes_at))
        return _("A club night is set: {what}, {day} from {opens} to {closes}.").format(
            **what, opens=opens, closes=closes
        )
    last = say_day(clock.closing_day(made.closes_at, zone), today)
    return _("Homework is given: {what}, from {day} to {last}.").format(**what, last=last)
