"""Trying again from a place in a plan: written on until the cross is solved without a loss."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from solverworker.atlas import atlas
from training.entry import read_plan
from training.models import Membership
from training.refusals import Refusal
from training.second_look import try_on
from training.selectors.plans import scramble_for
from training.services.second_looks import note_second_look
from training.visibility import Sealed
from training.web.admission import member, right_now
from training.web.pages.again.forms import WriteOnForm
from training.web.pages.again.place import place_asked
from training.web.pages.again.shown import show_again
from training.web.parts.of_set import of_set
from training.web.saying.second_looks import forgotten_rotation


@require_http_methods(["GET", "HEAD", "POST"])
@member
def again(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """Take moves, say whether they lose something, and keep what is found on the own plan."""
    now = right_now()
    view, one = scramble_for(viewer, set_id, number, now)
    if one.plan is None or one.plan.report is None:
        raise Sealed
    report, known = one.plan.report, atlas()
    form = WriteOnForm(request.POST if request.method == "POST" else None)
    status = 400 if request.method == "POST" else 200
    if known is None:
        # A worker makes the atlas when it starts for the first time.
        waiting = of_set(viewer, view, one, now)
        return render(request, "pages/again/not_yet.html", {"of_set": waiting}, status=status)
    forgotten = forgotten_rotation(
        one.text, report, freely=view.head.held_freely, held=one.plan.held
    )
    place, tried = place_asked(request, one.text, report, known, forgotten)
    if request.method == "POST":
        try:
            if form.is_valid():
                # A lower-case letter turns two layers, as in a plan; here nothing is final.
                read = read_plan(
                    form.cleaned_data["written"],
                    strict=view.head.strict,
                    lower_case_meant=True,
                )
                on = try_on(known, one.text, place.so_far, read.canonical, place.colour)
                moves = " ".join([*tried.kept, *on.kept])
                if on.found and not place.way:
                    note_second_look(
                        by=viewer,
                        set_id=set_id,
                        number=number,
                        place=place.step,
                        moves=moves,
                        hints=place.hints,
                        now=now,
                    )
                    messages.success(request, _("Kept as found on the second look."))
                to = request.path + place.query(moves=moves, refused=on.refused)
                if "leads" in request.POST:
                    # A script goes there itself, and the page is made once.
                    return HttpResponse(status=204, headers={"Location": to})
                return HttpResponseRedirect(to)
        except Refusal as refusal:
            status = refusal.status
            form.add_error("written", refusal.message)
    shown = show_again(viewer, view, one, report, place, tried, known, now)
    return render(request, "pages/again/again.html", {"shown": shown, "form": form}, status=status)
