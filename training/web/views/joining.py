"""Getting in for the first time: by an invite, or as the first owner."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from training.models import Invite, Membership, Standing
from training.services import people
from training.services.errors import InvalidEntry, LinkUsedUp
from training.services.people import NewAccount
from training.web.doors import person_of
from training.web.forms import AgeForm, DisplayNameForm, NewAccountForm, StartForm
from training.web.views.first import home_of

BACKEND = "training.services.backends.PhraseBackend"

_STEPS: tuple[tuple[str, type[forms.Form]], ...] = (
    ("name", DisplayNameForm),
    ("age", AgeForm),
    ("account", NewAccountForm),
)


def _link_gone(request: HttpRequest, refusal: LinkUsedUp) -> HttpResponse:
    facts = {"title": refusal.title, "said": refusal.message, "then": ""}
    return render(request, "training/pages/error.html", facts, status=refusal.status)


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Join by an invite, one group of fields at a time; earlier answers travel along."""
    try:
        invite = people.find_invite(token=token)
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    steps = _STEPS[:2] if person_of(request) else _STEPS
    if request.method != "POST":
        return _ask(request, invite, steps, 0, steps[0][1](), {})
    kept: dict[str, Any] = {}
    back = request.POST.get("back", "")
    for index, (name, form_class) in enumerate(steps):
        asked = name in request.POST.getlist("done") or request.POST.get("step") == name
        form = form_class(request.POST if asked else None)
        if back == name or not asked or not form.is_valid():
            wrong = asked and back != name
            if back == name:
                form = form_class(initial=request.POST.dict())
            return _ask(request, invite, steps, index, form, kept, status=400 if wrong else 200)
        kept.update(form.cleaned_data)
    return _join(request, invite, token, steps, kept)


def _join(
    request: HttpRequest,
    invite: Invite,
    token: str,
    steps: tuple[tuple[str, type[forms.Form]], ...],
    kept: dict[str, Any],
) -> HttpResponse:
    person = person_of(request)
    account = None
    if person is None:
        account = NewAccount(kept["sign_in_name"], kept["display_name"], kept["phrase"])
    try:
        membership = people.join_by_invite(
            token=token,
            account=account,
            person=person,
            display_name=kept["display_name"],
            under_18=kept["age"] == "under",
        )
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    except InvalidEntry as refusal:
        for index, (_, form_class) in enumerate(steps):
            form = form_class(request.POST)
            if refusal.field in form.fields:
                form.full_clean()
                form.add_error(refusal.field, refusal.message)
                return _ask(request, invite, steps, index, form, kept, status=400)
        raise
    if membership.standing == Standing.CONSENT:
        facts = {"waiting_in": invite.club, "just_joined": True}
        return render(request, "training/pages/consent.html", facts)
    return _enter(request, membership)


def _enter(request: HttpRequest, membership: Membership) -> HttpResponse:
    if person_of(request) is None:
        login(request, membership.person, backend=BACKEND)
    return HttpResponseRedirect(home_of(membership))


def _ask(
    request: HttpRequest,
    invite: Invite,
    steps: tuple[tuple[str, type[forms.Form]], ...],
    index: int,
    form: forms.Form,
    kept: dict[str, Any],
    status: int = 200,
) -> HttpResponse:
    """One step of joining. What was answered before goes along in hidden fields."""
    names = [name for name, _ in steps]
    facts = {
        "joining": invite.club,
        "as_coach": invite.role == "coach",
        "form": form,
        "step": names[index],
        "number": index + 1,
        "steps": len(steps),
        "done": names[:index],
        "before": names[index - 1] if index else "",
        "kept": [(key, value) for key, value in kept.items() if key not in form.fields],
        "last": index == len(steps) - 1,
    }
    return render(request, "training/pages/join.html", facts, status=status)


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def start(request: HttpRequest, token: str) -> HttpResponse:
    """The first owner sets up the club, by the one-time link."""
    try:
        people.find_owner_link(token=token)
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    form = StartForm(request.POST or None, initial={"time_zone": "Europe/London"})
    if request.method == "POST" and form.is_valid():
        entered = form.cleaned_data
        try:
            membership = people.start_club(
                token=token,
                club_name=entered["club_name"],
                time_zone=entered["time_zone"],
                account=NewAccount(
                    entered["sign_in_name"], entered["display_name"], entered["phrase"]
                ),
            )
        except LinkUsedUp as refusal:
            return _link_gone(request, refusal)
        except InvalidEntry as refusal:
            form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        else:
            login(request, membership.person, backend=BACKEND)
            return HttpResponseRedirect(home_of(membership))
    status = 200 if request.method != "POST" else 400
    return render(request, "training/pages/start.html", {"form": form}, status=status)
