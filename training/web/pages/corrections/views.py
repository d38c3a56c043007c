"""The log of corrections with undo, and what a coach takes out of a set."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.forms import Form
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership, ScrambleSet
from training.refusals import Refusal
from training.selectors.corrections import (
    correction_log,
    entry_for,
    members_to_plan,
    notes_of,
    spare_places,
)
from training.selectors.plans import set_for
from training.services import corrections
from training.visibility import Sealed
from training.web.admission import coach, right_now
from training.web.pages.corrections.forms import WHOLE_SET, OutForm, SpareForm, UndoForm, WindowForm
from training.web.pages.corrections.shown import ENTRIES_A_PAGE, show_log, show_of_set
from training.web.query import number_asked


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def log(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Every entry, newest first; a POST takes one back."""
    now = right_now()
    form = UndoForm(request.POST if request.method == "POST" else None)
    status = 200
    if request.method == "POST":
        status = 400
        undone = request.POST.get("undo", "")
        number = int(undone) if undone.isascii() and undone.isdigit() and len(undone) < 16 else 0
        entry = entry_for(viewer, number, now) if number else None
        try:
            if form.is_valid() and entry is not None:
                reason = form.cleaned_data["reason"]
                corrections.undo(correction=entry, by=viewer, reason=reason, now=now)
                messages.success(request, _("Taken back. The tables follow at once."))
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            status = refusal.status
            form.add_error(None, refusal.message)
    start = number_asked(request, "from")
    found = correction_log(viewer, now, start=start, count=ENTRIES_A_PAGE)
    shown = show_log(viewer, found, now, start=start)
    context = {"shown": shown, "form": form}
    return render(request, "pages/corrections/log.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def of_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """Take a scramble or a whole set out for everybody."""
    now = right_now()
    view = set_for(viewer, set_id, now)
    if view.head.of_member:
        raise Sealed
    numbers = [one.number for one in view.scrambles if not one.void]
    doing = request.POST.get("do", "") if request.method == "POST" else None
    form = OutForm(
        request.POST if doing == "" else None, numbers=numbers, whole=not view.head.taken_out
    )
    spare = SpareForm(
        request.POST if doing == "spare" else None, places=spare_places(viewer, set_id, now)
    )
    window = WindowForm(
        request.POST if doing == "window" else None,
        members=members_to_plan(viewer, set_id, now),
    )
    status = 200
    if request.method == "POST":
        status = 400
        try:
            if window.is_valid():
                _open_longer(viewer, set_id, **window.cleaned_data)
                messages.success(request, _("Open longer for them; for all others as it was."))
                return HttpResponseRedirect(request.path)
            if spare.is_valid():
                _put_spare(viewer, set_id, **spare.cleaned_data)
                messages.success(request, _("The spare is in. Members read of it on their pages."))
                return HttpResponseRedirect(request.path)
            if form.is_valid():
                _take_out(viewer, set_id, **form.cleaned_data)
                messages.warning(request, _("Taken out for everybody. The tables follow at once."))
                return HttpResponseRedirect(reverse("correct_set", args=[viewer.club.slug, set_id]))
        except Refusal as refusal:
            status = refusal.status
            wrong: Any = _bound(window, spare, form)
            wrong.add_error(
                refusal.field if refusal.field in wrong.fields else None, refusal.message
            )
    shown = show_of_set(viewer, view.head, notes_of([set_id]), now)
    wrong_form = _bound(window, spare, form)
    context = {"shown": shown, "out": form, "spare": spare, "window": window, "form": wrong_form}
    return render(request, "pages/corrections/of_set.html", context, status=status)


def _bound(window: WindowForm, spare: SpareForm, out: OutForm) -> Form:
    """The form that was sent; the last without one."""
    return window if window.is_bound else spare if spare.is_bound else out


def _open_longer(
    viewer: Membership,
    set_id: int,
    members: list[str],
    longer: int,
    begins: int | None,
    because: str,
) -> None:
    """Keep the set open for some. Raises Refusal."""
    now = right_now()
    found = ScrambleSet.objects.get(pk=set_id, club=viewer.club)
    corrections.keep_open(
        scramble_set=found,
        until=found.closes_at + timedelta(hours=longer),
        by=viewer,
        reason=because,
        members=Membership.objects.filter(club=viewer.club, pk__in=members),
        begins=now + timedelta(hours=begins) if begins else None,
        now=now,
    )


def _take_out(viewer: Membership, set_id: int, what: str, reason: str) -> None:
    """Make the entry. Raises Refusal."""
    found = ScrambleSet.objects.get(pk=set_id, club=viewer.club)
    if what == WHOLE_SET:
        corrections.take_set_out(scramble_set=found, by=viewer, reason=reason)
    else:
        scramble = found.scrambles.select_related("scramble_set").get(number=int(what))
        corrections.void_scramble(scramble=scramble, by=viewer, reason=reason)


def _put_spare(viewer: Membership, set_id: int, place: str, hours: int | None, reason: str) -> None:
    """Put the spare in, and keep the set open longer if so wished: both or neither."""
    found = ScrambleSet.objects.get(pk=set_id, club=viewer.club)
    scramble = found.scrambles.select_related("scramble_set").get(number=int(place))
    with transaction.atomic():
        corrections.put_spare(scramble=scramble, by=viewer, reason=reason)
        if hours:
            until = found.closes_at + timedelta(hours=hours)
            corrections.keep_open(scramble_set=found, until=until, by=viewer, reason=reason)
