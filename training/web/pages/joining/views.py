"""Getting in for the first time: by an invite, or as the first owner."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from training.models import Invite, Membership
from training.policies import waits_for_consent
from training.refusals import InvalidEntry, LinkUsedUp, NotAllowed
from training.rights import require_join
from training.services import people
from training.services.people import NewAccount
from training.services.sessions import enter
from training.web.admission import person_of
from training.web.base.standing_in import ErrorShown, consent_page, error_page
from training.web.navigation import home_of
from training.web.pages.joining.forms import STEPS, StartForm, Step
from training.web.pages.joining.shown import show_step


def _link_gone(request: HttpRequest, refusal: LinkUsedUp) -> HttpResponse:
    return error_page(request, ErrorShown(str(refusal.title), refusal.message), refusal.status)


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    """Join by an invite, one group of fields at a time; all answers travel along."""
    try:
        invite = people.find_invite(token=token)
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    person = person_of(request)
    if person is not None:
        try:
            require_join(person)
        except NotAllowed as refusal:
            raise PermissionDenied(refusal.message) from None
    steps = STEPS[:-1] if person else STEPS
    if request.method != "POST":
        named = {"display_name": invite.made_for}
        return _ask(request, invite, steps, 0, steps[0].form(initial=named))
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
    request: HttpRequest, invite: Invite, token: str, steps: Sequence[Step], answers: dict[str, Any]
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
        for index, step in enumerate(steps):
            form = step.form(request.POST)
            if refusal.field in form.fields:
                form.add_error(refusal.field, refusal.message)
                return _ask(request, invite, steps, index, form, status=400)
        raise
    if waits_for_consent(membership):
        return consent_page(request, invite.club, just_joined=True)
    return _enter(request, membership)


def _enter(request: HttpRequest, membership: Membership) -> HttpResponse:
    # Whoever waits to be let in is told so there.
    if person_of(request) is None:
        enter(request, membership.person)
    return HttpResponseRedirect(home_of(membership))


def _ask(
    request: HttpRequest,
    invite: Invite,
    steps: Sequence[Step],
    index: int,
    form: forms.Form,
    status: int = 200,
) -> HttpResponse:
    """One step of joining. What was answered at the others goes along in hidden fields."""
    shown = show_step(invite, steps, index, request.POST)
    return render(request, "pages/joining/join.html", {"shown": shown, "form": form}, status=status)


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def start(request: HttpRequest, token: str) -> HttpResponse:
    """The first owner sets up the club, by the one-time link."""
    try:
        people.find_owner_link(token=token)
    except LinkUsedUp as refusal:
        return _link_gone(request, refusal)
    entered_now = request.POST if request.method == "POST" else None
    form = StartForm(entered_now)
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
            enter(request, membership.person)
            return HttpResponseRedirect(home_of(membership))
    status = 200 if request.method != "POST" else 400
    return render(request, "pages/joining/start.html", {"form": form}, status=status)
