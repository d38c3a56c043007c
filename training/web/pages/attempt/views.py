"""One scramble of a set: write the plan, have it read back, hand it in."""

from __future__ import annotations

import uuid
from functools import partial

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_POST

from training.entry import PAIR_AHEAD, Choice, Entry
from training.models import Membership
from training.refusals import Refusal
from training.selectors import plans as selectors
from training.selectors.plans import ScrambleView, SetView
from training.services import plans as services
from training.web.admission import member, right_now
from training.web.pages.attempt.echo import echo_of
from training.web.pages.attempt.shown import show_attempt, show_read_back
from training.web.parts.of_set import of_set


def attempt_page(
    request: HttpRequest,
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    *,
    written: str = "",
    pair: str = "",
    refused: Refusal | None = None,
    key: str = "",
) -> HttpResponse:
    """The page to hand in on."""
    shown = show_attempt(
        viewer, view, one, right_now(), written=written, pair=pair, refused=refused, key=key
    )
    status = refused.status if refused else 200
    context = {"shown": shown, "refused": refused}
    return render(request, "pages/attempt/attempt.html", context, status=status)


def take_entry(
    request: HttpRequest, viewer: Membership, view: SetView, one: ScrambleView
) -> HttpResponse:
    """Read an entry back, or hand it in."""
    entry, key = _entry(request), _key(request)
    doing = request.POST.get("do", "read_back")
    page = partial(
        attempt_page,
        *(request, viewer, view, one),
        written=entry.written,
        pair=entry.pair,
        key=str(key),
    )
    if doing == "change":
        return page()
    try:
        if doing == "hand_in":
            services.hand_in(
                membership=viewer,
                scramble=selectors.scramble_row(viewer, view.head.id, one.number, right_now()),
                entry=entry,
                key=key,
                now=right_now(),
            )
            return HttpResponseRedirect(request.path)
        read = entry.read(strict=view.head.strict)
    except Refusal as refusal:
        return page(refused=refusal)
    is_own = view.head.of_member
    of = of_set(viewer, view, one, right_now())
    shown = show_read_back(of, entry, read, key=key, counts=not is_own)
    return render(request, "pages/attempt/read_back.html", {"shown": shown})


def _entry(request: HttpRequest) -> Entry:
    """What was sent. A choice that is none of the three is taken for moves."""
    choice = request.POST.get("choice", "")
    return Entry(
        request.POST.get("plan", ""),
        Choice(choice) if choice in set(Choice) else Choice.MOVES,
        lower_case_meant="lower_case_meant" in request.POST,
        pair=request.POST.get(PAIR_AHEAD, ""),
    )


def _key(request: HttpRequest) -> uuid.UUID:
    """The form's idempotency key; a fresh one when it does not look like one."""
    try:
        return uuid.UUID(request.POST.get("key", ""))
    except ValueError:
        return uuid.uuid4()


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
