"""People: who belongs to the club, letting somebody in, cards, consent, archive."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from training.models import Membership
from training.refusals import Refusal
from training.selectors import clubs
from training.services import accounts
from training.services import people as services
from training.web.admission import coach, right_now
from training.web.pages.people.forms import ConsentForm, InviteForm
from training.web.pictures.qr import draw_qr
from training.web.saying.times import say


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def people(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The list; a POST makes an invite link, which is shown this once, or withdraws one."""
    if request.method != "POST":
        return _page(request, viewer)
    if request.POST.get("do") == "withdraw_invite":
        return _withdraw(request, viewer)
    form = InviteForm(request.POST)
    if not form.is_valid():
        return _page(request, viewer, form=form, status=400)
    try:
        invite, token = services.make_invite(
            by=viewer,
            role=form.cleaned_data["role"],
            places=form.cleaned_data["places"],
            days=form.cleaned_data["days"],
        )
    except Refusal as refusal:
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        return _page(request, viewer, form=form, status=refusal.status)
    address = request.build_absolute_uri(reverse("join", args=[token]))
    fresh = {
        "address": address,
        "qr": draw_qr(address),
        "until": say(invite.expires_at, right_now(), viewer.club.zone),
        "places": invite.places,
    }
    return _page(request, viewer, fresh=fresh)


def _withdraw(request: HttpRequest, viewer: Membership) -> HttpResponse:
    wanted = request.POST.get("invite", "")
    for invite in clubs.roster(viewer.club, right_now()).invites:
        if str(invite.pk) == wanted:
            services.withdraw_invite(by=viewer, invite=invite)
            messages.info(request, "The invite link no longer works.", extra_tags="mark")
    return HttpResponseRedirect(request.path)


def _page(
    request: HttpRequest,
    viewer: Membership,
    *,
    form: InviteForm | None = None,
    fresh: dict[str, Any] | None = None,
    consent: tuple[int, ConsentForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    now = right_now()
    roster = clubs.roster(viewer.club, now)
    zone = viewer.club.zone
    refused_id, refused_form = consent or (0, None)
    facts = {
        "roster": roster,
        "form": form or InviteForm(),
        "fresh": fresh,
        "waiting": [
            (
                one,
                refused_form if one.pk == refused_id else ConsentForm(prefix=str(one.pk)),
            )
            for one in roster.waiting_for_consent
        ],
        "invites": [
            (one, max(one.places - one.taken, 0), say(one.expires_at, now, zone))
            for one in roster.invites
        ],
        "consent_error": refused_form,
    }
    return render(request, "pages/people/people.html", facts, status=status)


@require_POST
@coach
def act(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """One thing done for one person: a card, a consent noted, archive, open again."""
    person = clubs.membership_in(viewer.club, membership_id)
    if person is None:
        raise Http404
    doing = request.POST.get("do")
    back = HttpResponseRedirect(reverse("people", args=[viewer.club.slug]))
    name = person.display_name
    try:
        if doing == "code":
            return _card(request, viewer, person)
        if doing == "consent":
            form = ConsentForm(request.POST, prefix=str(person.pk))
            if not form.is_valid():
                return _page(request, viewer, consent=(person.pk, form), status=400)
            accounts.note_consent(by=viewer, membership=person, note=form.cleaned_data["note"])
            messages.success(request, f"Noted. {name}’s account is open.", extra_tags="kept")
        elif doing == "archive":
            accounts.archive_membership(by=viewer, membership=person)
            messages.info(request, f"{name}’s account is archived.", extra_tags="mark")
        elif doing == "reopen":
            accounts.reopen_membership(by=viewer, membership=person)
            messages.success(request, f"{name}’s account is open again.", extra_tags="kept")
    except Refusal as refusal:
        messages.error(request, refusal.message, extra_tags="loss")
    return back


def _card(request: HttpRequest, viewer: Membership, person: Membership) -> HttpResponse:
    """A one-time sign-in card, shown and printed once."""
    code = accounts.make_sign_in_code(by=viewer, membership=person)
    address = request.build_absolute_uri(reverse("code"))
    facts = {
        "person": person,
        "code": code,
        "address": address,
        "qr": draw_qr(address),
        "days": accounts.CODE_DAYS,
    }
    return render(request, "pages/people/code_card.html", facts)
