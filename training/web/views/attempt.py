"""One scramble of a set: hand in a plan, wait for its verdict, understand it."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from solverworker.cube.net import net
from training.models import Membership
from training.selectors import plans as selectors
from training.selectors.plans import ScrambleView, SetView, State
from training.services import plans as services
from training.services.errors import LowerCasePlan, Refusal
from training.web.cards import length_words, plan_text, set_line, state_words
from training.web.doors import member, right_now
from training.web.entry import echo_of, marked, moves_of
from training.web.numbers import number_asked
from training.web.pictures import draw_net
from training.web.remarks import also_solved
from training.web.sheet import score_sheet
from training.web.verdicts import show_verdict
from training.web.words import count, told

CHOICES = ("moves", "no_plan", "solved")
"""What an entry is: moves, or one of the two choices for the empty plan."""


@require_http_methods(["GET", "HEAD", "POST"])
@member
def scramble(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """The attempt while there is no plan; from then on, what became of the plan."""
    view, one = selectors.scramble_for(viewer, set_id, number, right_now())
    if request.method == "POST":
        return _post(request, viewer, view, one)
    if one.state == State.TO_PLAN:
        return _attempt(request, viewer, view, one)
    return _plan_page(request, viewer, view, one)


def _frame(viewer: Membership, view: SetView, one: ScrambleView) -> dict[str, Any]:
    """What every page of a scramble says at its top."""
    slug = viewer.club.slug
    following = next((s.number for s in view.to_plan if s.number != one.number), None)
    return {
        "line": set_line(view.head, right_now(), viewer.club.zone),
        "number": one.number,
        "count": len(view.scrambles),
        "here": reverse("scramble", args=[slug, view.head.id, one.number]),
        "set_href": reverse("set", args=[slug, view.head.id]),
        "next_number": following,
        "next_href": reverse("scramble", args=[slug, view.head.id, following]) if following else "",
    }


def _attempt(
    request: HttpRequest,
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    *,
    written: str = "",
    refused: Refusal | None = None,
    closed: bool = False,
    key: str = "",
) -> HttpResponse:
    """The page to hand in on. After a refusal what was typed is still there."""
    slug = viewer.club.slug
    echo = marked(written, refused) if refused else echo_of(written, strict=view.head.strict)
    facts = _frame(viewer, view, one) | {
        "sheet": score_sheet(one.text),
        "net": draw_net(net(one.text)),
        "written": written,
        "key": key or str(uuid.uuid4()),
        "refused": refused,
        "refused_words": told(refused.message) if refused else "",
        "echo": echo if refused or written else None,
        "echo_href": reverse("echo", args=[slug, view.head.id, one.number]),
        "strict": view.head.strict,
        "can_hand_in": not closed,
        "lower_case": refused if isinstance(refused, LowerCasePlan) else None,
    }
    status = refused.status if refused else 200
    return render(request, "training/pages/attempt.html", facts, status=status)


def _post(
    request: HttpRequest, viewer: Membership, view: SetView, one: ScrambleView
) -> HttpResponse:
    """Read an entry back, or hand it in."""
    written = request.POST.get("plan", "")
    choice = request.POST.get("choice", "moves")
    choice = choice if choice in CHOICES else "moves"
    lower_case_meant = "lower_case_meant" in request.POST
    key = _key(request)
    doing = request.POST.get("do", "read_back")
    try:
        if doing == "change":
            return _attempt(request, viewer, view, one, written=written, key=str(key))
        if doing != "hand_in":
            canonical = services.read_entry(
                written,
                no_plan=choice == "no_plan",
                cross_is_solved=choice == "solved",
                lower_case_meant=lower_case_meant,
                spelling="strict" if view.head.strict else "club",
            )
            return _read_back(
                request, viewer, view, one, written, canonical, choice, key, lower_case_meant
            )
        services.hand_in(
            membership=viewer,
            scramble=selectors.scramble_row(viewer, view.head.id, one.number, right_now()),
            written=written,
            key=key,
            no_plan=choice == "no_plan",
            cross_is_solved=choice == "solved",
            lower_case_meant=lower_case_meant,
            now=right_now(),
        )
    except Refusal as refusal:
        return _attempt(
            request,
            viewer,
            view,
            one,
            written=written,
            refused=refusal,
            closed=refusal.status == 409,
            key=str(key),
        )
    return HttpResponseRedirect(
        reverse("scramble", args=[viewer.club.slug, view.head.id, one.number])
    )


def _key(request: HttpRequest) -> uuid.UUID:
    """The form's idempotency key; a fresh one when it does not look like one."""
    try:
        return uuid.UUID(request.POST.get("key", ""))
    except ValueError:
        return uuid.uuid4()


def _read_back(
    request: HttpRequest,
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    written: str,
    canonical: str,
    choice: str,
    key: uuid.UUID,
    lower_case_meant: bool,
) -> HttpResponse:
    """Show the entry once in canonical form before it goes in."""
    moves, free = moves_of(canonical)
    facts = _frame(viewer, view, one) | {
        "written": written,
        "canonical": canonical,
        "length": count(moves, "move"),
        "free": free,
        "choice": choice,
        "key": str(key),
        "lower_case_meant": lower_case_meant,
    }
    return render(request, "training/pages/read_back.html", facts)


def _plan_page(
    request: HttpRequest, viewer: Membership, view: SetView, one: ScrambleView
) -> HttpResponse:
    """What became of the plan: waiting, sealed, checked, or why not."""
    state, tone = state_words(one.state, view.head, one.plan)
    facts = _frame(viewer, view, one) | {
        "state": state,
        "tone": tone,
        "plan": one.plan,
        "plan_text": plan_text(one.plan) if one.plan else "",
        "length": length_words(one.plan) if one.plan else "",
        "waiting": one.state == State.WAITING,
        "ask_again": _ask_again(one) if one.plan else "",
        "sheet": score_sheet(one.text),
    }
    if one.plan is None or one.plan.report is None:
        facts["net"] = draw_net(net(one.text))
        return render(request, "training/pages/plan_state.html", facts)
    open_ones = [
        (each.number, each.text)
        for each in view.scrambles
        if each.answers_open and each.number != one.number
    ]
    facts["verdict"] = show_verdict(
        one.text,
        one.plan.report,
        way=number_asked(request, "way"),
        step=number_asked(request, "step"),
        others=also_solved(one.plan.report, view.head.colours, open_ones),
    )
    return render(request, "training/pages/verdict.html", facts)


def _ask_again(one: ScrambleView) -> str:
    """How long the page waits before it asks for the verdict again: the longer, the later."""
    waited = right_now() - one.plan.handed_in_at if one.plan else timedelta()
    for limit, pause in ((5, "250ms"), (30, "1s"), (300, "3s")):
        if waited < timedelta(seconds=limit):
            return pause
    return "15s"


@require_POST
@member
def echo(request: HttpRequest, viewer: Membership, set_id: int, number: int) -> HttpResponse:
    """The echo of what is being typed, for the page's script. Stores nothing."""
    view, _ = selectors.scramble_for(viewer, set_id, number, right_now())
    written = request.POST.get("plan", "")
    facts = {"echo": echo_of(written, strict=view.head.strict) if written.strip() else None}
    return render(request, "training/parts/echo.html", facts)
