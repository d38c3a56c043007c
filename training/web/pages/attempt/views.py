"""One scramble of a set: scramble, inspect, write, read it back, hand it in.

Each step has an address, and each form is answered by the way to one: so going back or
reloading never asks whether something should be sent again. What is written stands as a draft.
"""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from training.entry import HELD, PAIR_AHEAD, Choice, Entry
from training.models import Inspects, Membership, Scramble
from training.refusals import KeyReused, Refusal
from training.selectors import plans as selectors
from training.selectors.attempts import (
    OnTheWay,
    inspection_for,
    on_the_way,
    why_not_handed_in,
)
from training.selectors.plans import ScrambleView, SetView, State
from training.services import attempts
from training.services import plans as services
from training.web.admission import member, right_now
from training.web.pages.attempt.echo import echo_of
from training.web.pages.attempt.shown import AttemptStep, addresses, show_attempt, show_read_back


def attempt_page(
    request: HttpRequest, viewer: Membership, view: SetView, one: ScrambleView
) -> HttpResponse:
    """The first step: the scramble, and the check of the cube."""
    on = on_the_way(viewer, view.head.id, one.number)
    return _page(request, viewer, view, one, on, AttemptStep.SCRAMBLE)


def _page(
    request: HttpRequest,
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    on: OnTheWay,
    step: AttemptStep,
    refused: Refusal | None = None,
) -> HttpResponse:
    shown = show_attempt(viewer, view, one, right_now(), on=on, step=step, refused=refused)
    return render(request, "pages/attempt/attempt.html", {"shown": shown, "refused": refused})


@require_http_methods(["GET", "HEAD", "POST"])
@member
def inspect(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """The second step, and its taps."""
    # The stamp of a tap: before anything else takes its time.
    now = right_now()
    view, one = selectors.scramble_for(viewer, set_id, number, now)
    to = addresses(viewer, view, one)
    if request.method == "POST":
        return _tapped(request, viewer, view, one, now)
    on = on_the_way(viewer, set_id, number)
    if one.state != State.TO_PLAN:
        return HttpResponseRedirect(to.scramble)
    if on.inspection is not None and on.inspection.ended_at is not None:
        return HttpResponseRedirect(to.write)
    return _page(request, viewer, view, one, on, AttemptStep.INSPECT)


def _tapped(
    request: HttpRequest, viewer: Membership, view: SetView, one: ScrambleView, now: datetime
) -> HttpResponse:
    """Stamp a tap. A script that measures is answered without a page."""
    to = addresses(viewer, view, one)
    of: dict[str, Any] = {"membership": viewer, "scramble": _row(viewer, view, one), "now": now}
    doing = request.POST.get("do", "begin")
    stamped = False
    try:
        if doing == "end":
            stamped = attempts.end_inspection(**of, begun_trip=_trip(request, "begun_trip"))
        elif doing == "look":
            attempts.look_again(**of)
        elif doing == "differs":
            attempts.tell_that_cube_differs(**of)
            messages.success(request, _("Your coach reads that your cube differs here."))
        else:
            chosen = request.POST.get("chosen", "")
            timed = chosen == Inspects.TIMED
            chosen_way = Inspects.TIMED if timed else Inspects.OWN
            stamped = attempts.begin_inspection(**of, chosen=chosen_way).begun_at == now
    except Refusal:
        # What has closed meanwhile says so on its own page.
        return HttpResponseRedirect(to.write)
    if "measured" in request.POST:
        return HttpResponse(status=204)
    leads = {"end": to.write, "look": to.scramble, "differs": to.scramble}
    # A tap before the script was there: the browser itself knows how long this answer took, and the
    # script of the next page asks it. Of a tap that stamped nothing it would be another's time.
    tapped = "?tapped=1" if stamped else ""
    return HttpResponseRedirect(leads.get(doing, to.inspect) + tapped)


@require_safe
@member
def write(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """The third step. A draft that cannot be read, or came too late, is here with the reason."""
    view, one = selectors.scramble_for(viewer, set_id, number, right_now())
    on = on_the_way(viewer, set_id, number)
    refused: Refusal | None = None
    if one.state != State.TO_PLAN:
        refused = why_not_handed_in(viewer, _row(viewer, view, one), right_now())
        if refused is None or on.draft is None:
            return HttpResponseRedirect(addresses(viewer, view, one).scramble)
    elif on.entry is not None:
        refused = _refusal_of(on.entry, view, one)
    return _page(request, viewer, view, one, on, AttemptStep.WRITE, refused)


def _refusal_of(entry: Entry, view: SetView, one: ScrambleView) -> Refusal | None:
    try:
        entry.read(strict=view.head.strict, freely_from=_freely_from(view, one))
    except Refusal as refusal:
        return refusal
    return None


def _freely_from(view: SetView, one: ScrambleView) -> str | None:
    return one.text if view.head.held_freely else None


@require_safe
@member
def read_back(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """The last step: the draft as it is read, before it goes in."""
    view, one = selectors.scramble_for(viewer, set_id, number, right_now())
    on, to = on_the_way(viewer, set_id, number), addresses(viewer, view, one)
    entry = on.entry
    if on.draft is None or entry is None or one.state != State.TO_PLAN:
        return HttpResponseRedirect(to.write)
    try:
        read = entry.read(strict=view.head.strict, freely_from=_freely_from(view, one))
    except Refusal:
        return HttpResponseRedirect(to.write)
    key = on.draft.key
    shown = show_read_back(viewer, view, one, right_now(), entry=entry, read=read, key=key)
    return render(request, "pages/attempt/read_back.html", {"shown": shown})


def take_entry(
    request: HttpRequest, viewer: Membership, view: SetView, one: ScrambleView
) -> HttpResponse:
    """Keep an entry to be read back or changed, or hand it in; lead to what then is true."""
    entry, key, to = _entry(request, view), _key(request), addresses(viewer, view, one)
    scramble, now = _row(viewer, view, one), right_now()
    doing = request.POST.get("do", "read_back")
    if doing != "hand_in":
        attempts.keep_draft(membership=viewer, scramble=scramble, entry=entry, key=key, now=now)
        _told_beside(request, viewer, scramble)
        return HttpResponseRedirect(to.write if doing == "change" else to.read_back)
    _told_beside(request, viewer, scramble)
    try:
        services.hand_in(
            membership=viewer,
            scramble=scramble,
            entry=entry,
            key=key,
            inspection=inspection_for(viewer.pk, scramble.pk),
            now=now,
        )
    except Refusal as refusal:
        # Under another key, because this one belongs to what is in.
        kept = uuid.uuid4() if isinstance(refusal, KeyReused) else key
        attempts.keep_draft(membership=viewer, scramble=scramble, entry=entry, key=kept, now=now)
        return HttpResponseRedirect(to.write)
    attempts.drop_draft(membership=viewer, scramble=scramble)
    attempts.remember_hold(membership=viewer, held=entry.held)
    return HttpResponseRedirect(to.scramble)


def _told_beside(request: HttpRequest, viewer: Membership, scramble: Scramble) -> None:
    """What a device knows only after its taps: a trip; a second look without a line."""
    if (trip := _trip(request, "begun_trip")) is not None:
        attempts.note_trip_of_beginning(membership=viewer, scramble=scramble, trip=trip)
    if (trip := _trip(request, "ended_trip")) is not None:
        attempts.note_trip_of_end(membership=viewer, scramble=scramble, trip=trip)
    if request.POST.get("looked"):
        try:
            attempts.look_again(membership=viewer, scramble=scramble, now=right_now())
        except Refusal:
            return


def _row(viewer: Membership, view: SetView, one: ScrambleView) -> Scramble:
    return selectors.scramble_row(viewer, view.head.id, one.number, right_now())


def _entry(request: HttpRequest, view: SetView) -> Entry:
    """What was sent. A choice that is none of the three is taken for moves."""
    choice = request.POST.get("choice", "")
    held = f"{request.POST.get('top', '')} {request.POST.get('front', '')}".strip()
    return Entry(
        request.POST.get("plan", ""),
        Choice(choice) if choice in set(Choice) else Choice.MOVES,
        lower_case_meant="lower_case_meant" in request.POST,
        pair=request.POST.get(PAIR_AHEAD, ""),
        held=(request.POST.get(HELD, "") or held) if view.head.held_freely else "",
    )


def _key(request: HttpRequest) -> uuid.UUID:
    """The form's idempotency key; a fresh one when it does not look like one."""
    try:
        return uuid.UUID(request.POST.get("key", ""))
    except ValueError:
        return uuid.uuid4()


def _trip(request: HttpRequest, name: str) -> int | None:
    """Milliseconds that a device measured; None where it says nothing that can be one."""
    said = request.POST.get(name, "")
    return int(said) if said.isascii() and said.isdecimal() and len(said) <= 7 else None


@require_POST
@member
def echo(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """The echo of what is being typed, for the page's script. Stores nothing.

    ``echo`` says of which entry: the plan's unless it is the pair's.
    """
    view, _scramble = selectors.scramble_for(viewer, set_id, number, right_now())
    of_pair = request.POST.get("echo") == PAIR_AHEAD
    written = request.POST.get(PAIR_AHEAD if of_pair else "plan", "")
    read = echo_of(written, strict=view.head.strict) if written.strip() else None
    return render(request, "pages/attempt/echo.html", {"echo": read})
