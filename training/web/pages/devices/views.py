"""Where one is signed in, and ending it there or everywhere."""

from __future__ import annotations

from typing import cast
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.contrib.auth import logout
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Person
from training.refusals import NotAllowed, Refusal
from training.rights import require_answer_for_all
from training.selectors.clubs import memberships_of
from training.selectors.devices import devices_of
from training.services import devices as services
from training.services.tokens import make_token
from training.web.admission import nothing_stays_here, right_now, signed_in
from training.web.pages.devices.forms import TokenForm
from training.web.pages.devices.shown import show_devices


@require_http_methods(["GET", "HEAD", "POST"])
@signed_in
def devices(request: HttpRequest) -> HttpResponse:
    """The list; a POST ends one browser, one program, or all."""
    person = cast(Person, request.user)
    try:
        require_answer_for_all(person)
    except NotAllowed as refusal:
        raise PermissionDenied(refusal.message) from None
    made, form, status = "", TokenForm(), 200
    if request.POST.get("do") == "token":
        made, form = _make_token(request, person)
        status = 200 if made else 400
    elif request.method == "POST":
        return _end(request, person)
    zone = next((one.club.zone for one in memberships_of(person)), ZoneInfo("UTC"))
    now = right_now()
    shown = show_devices(devices_of(person, request.session.session_key, now), now, zone)
    context = {"shown": shown, "form": form, "made": made}
    return render(request, "pages/devices/devices.html", context, status=status)


def _make_token(request: HttpRequest, person: Person) -> tuple[str, TokenForm]:
    """The secret of a new token, shown this once; empty when it was refused."""
    form = TokenForm(request.POST)
    if not form.is_valid():
        return "", form
    try:
        _token, secret = make_token(person=person, **form.cleaned_data)
    except Refusal as refusal:
        form.add_error(None, refusal.message)
        return "", form
    return secret, TokenForm()


def _end(request: HttpRequest, person: Person) -> HttpResponse:
    entry = request.POST
    if entry.get("do") == "everywhere":
        services.sign_out_everywhere(person=person)
        logout(request)
        messages.success(request, _("You are signed out everywhere."))
        return nothing_stays_here(HttpResponseRedirect(reverse("first")))
    browser = entry.get("browser", "")
    ended = services.end_program(person=person, handle=entry.get("program", ""))
    if not ended and browser.isascii() and browser.isdigit() and len(browser) < 19:
        ended = services.end_browser(person=person, browser_id=int(browser))
    if ended:
        messages.success(request, _("Ended."))
    return HttpResponseRedirect(request.path)
