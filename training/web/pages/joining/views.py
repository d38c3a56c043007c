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
from training.refusals import InvalidEntry, LinkUsedUp
from training.services import people
from training.services.people import NewAccount
from training.web.admission import person_of
from training.web.base.standing_in import ErrorShown, consent_page, error_page
from training.web.navigation import home_of
from training.web.pages.joining.forms import AgeForm, DisplayNameForm, NewAccountForm, StartForm

BACKEND = "training.services.backends.PhraseBackend"

_STEPS: tuple[tuple[str, type[forms.Form]], ...] = (
    ("name", DisplayNameForm),
    ("age", AgeForm),
    ("account", NewAccountForm),
)


def _link_gone(request: HttpRequest, refusal: LinkUsedUp) -> HttpResponse:
    return error_page(request, ErrorShown(str(refusal.title), refusal.message), refusal.status)


Steps = tuple[tuple[str, type[forms.Form]], ...]


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Join by an invite, one group of fields at a time; all answers travel along."""
    try:
        invite = people.find_invite(token=token)
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    steps = _STEPS[:2] if person_of(request) else _STEPS
    if request.method != "POST":
        return _ask(request, invite, steps, 0, steps[0][1]())
    answered = {*request.POST.getlist("done"), request.POST.get("step", "")}
    back = request.POST.get("back", "")
    answers: dict[str, Any] = {}
    for index, (name, form_class) in enumerate(steps):
        if back == name or name not in answered:
            form = form_class(initial=request.POST.dict())
            return _ask(request, invite, steps, index, form)
        form = form_class(request.POST)
        if not form.is_valid():
            return _ask(request, invite, steps, index, form, status=400)
        answers.update(form.cleaned_data)
    return _join(request, invite, token, steps, answers)


def _join(
    request: HttpRequest, invite: Invite, token: str, steps: Steps, answers: dict[str, Any]
) -> HttpResponse:
    person = person_of(request)
    account = None
    if person is None:
        account = NewAccount(answers["sign_in_name"], answers["display_name"], answers["phrase"])
    try:
        membership = people.join_by_invite(
            token=token,
            account=account,
            person=person,
            display_name=answers["display_name"],
            under_18=answers["age"] == "under",
        )
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    except InvalidEntry as refusal:
        for index, (_, form_class) in enumerate(steps):
            form = form_class(request.POST)
            if refusal.field in form.fields:
                form.add_error(refusal.field, refusal.message)
                return _ask(request, invite, steps, index, form, status=400)
        raise
    if membership.standing == Standing.CONSENT:
        return consent_page(request, invite.club, just_joined=True)
    return _enter(request, membership)


def _enter(request: HttpRequest, membership: Membership) -> HttpResponse:
    if person_of(request) is None:
        login(request, membership.person, backend=BACKEND)
    return HttpResponseRedirect(home_of(membership))


def _ask(
    request: HttpRequest,
    invite: Invite,
    steps: Steps,
    index: int,
    form: forms.Form,
    status: int = 200,
) -> HttpResponse:
    """One step of joining. What was answered at the others goes along in hidden fields."""
    names = [name for name, _ in steps]
    here = names[index]
    answered = set(request.POST.getlist("done"))
    if "back" not in request.POST:
        answered.add(request.POST.get("step", ""))
    fields = [field for _, form_class in steps for field in form_class.base_fields]
    facts = {
        "joining": invite.club,
        "as_coach": invite.role == "coach",
        "form": form,
        "step": here,
        "number": index + 1,
        "steps": len(steps),
        "done": [name for name in names if name in answered and name != here],
        "before": names[index - 1] if index else "",
        "kept": [
            (field, request.POST[field])
            for field in fields
            if field not in form.fields and field in request.POST
        ],
        "last": index == len(steps) - 1,
    }
    return render(request, "pages/joining/join.html", facts, status=status)


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def start(request: HttpRequest, token: str) -> HttpResponse:
    """The first owner sets up the club, by the one-time link."""
    try:
        people.find_owner_link(token=token)
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    entered_now = request.POST if request.method == "POST" else None
    form = StartForm(entered_now, initial={"time_zone": "Europe/London"})
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
    return render(request, "pages/joining/start.html", {"form": form}, status=status)
