"""People: who belongs to the club, letting somebody in, cards, consent, archive."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from training.models import Invite, Membership
from training.refusals import Refusal
from training.selectors import clubs
from training.services import accounts, newcomers
from training.services import people as services
from training.web.admission import coach, right_now
from training.web.pages.people.forms import ConsentForm, InviteForm
from training.web.pages.people.shown import FreshInvite, show_card, show_fresh, show_people
from training.web.saying.counting import listed


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def people(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The list; a POST makes an invite link, which is shown this once, or withdraws one."""
    if request.method != "POST":
        return _page(request, viewer)
    if request.POST.get("do") == "withdraw_invite":
        return _withdraw(request, viewer)
    if {"let_in", "turn_away"} & request.POST.keys() or request.POST.get("do") == "let_in":
        return _decide(request, viewer)
    form = InviteForm(viewer, request.POST)
    if not form.is_valid():
        return _page(request, viewer, invite_form=form, status=400)
    try:
        made = _make(viewer, form.cleaned_data)
    except Refusal as refusal:
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        return _page(request, viewer, invite_form=form, status=refusal.status)
    now = right_now()
    fresh = [
        show_fresh(invite, request.build_absolute_uri(reverse("join", args=[token])), viewer, now)
        for invite, token in made
    ]
    return _page(request, viewer, fresh=fresh)


def _make(viewer: Membership, wanted: dict[str, Any]) -> list[tuple[Invite, str]]:
    """A link for each name, or one for many."""
    names = wanted["names"].splitlines()
    role, days = wanted["role"], wanted["days"]
    if any(name.strip() for name in names):
        return services.make_invites_by_name(by=viewer, names=names, role=role, days=days)
    return [services.make_invite(by=viewer, role=role, places=wanted["places"], days=days)]


def _decide(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Let in one newcomer or all that are ticked, or take one off again."""
    one, off = request.POST.get("let_in"), request.POST.get("turn_away")
    ids = {off or one} if off or one else set(request.POST.getlist("who"))
    waiting = clubs.roster(viewer.club, right_now()).newcomers
    chosen = [newcomer for newcomer in waiting if str(newcomer.pk) in ids]
    try:
        if off:
            for newcomer in chosen:
                newcomers.turn_away(by=viewer, membership=newcomer)
                messages.warning(
                    request, _("{name} is taken off.").format(name=newcomer.display_name)
                )
        else:
            names = [m.display_name for m in newcomers.let_in(by=viewer, memberships=chosen)]
            if names:
                messages.success(
                    request,
                    ngettext("{names} is in.", "{names} are in.", len(names)).format(
                        names=listed(names)
                    ),
                )
            else:
                messages.info(request, _("Nobody was ticked who still waits."))
    except Refusal as refusal:
        messages.error(request, refusal.message)
    return HttpResponseRedirect(request.path)


def _withdraw(request: HttpRequest, viewer: Membership) -> HttpResponse:
    wanted = request.POST.get("invite", "")
    for invite in clubs.roster(viewer.club, right_now()).invites:
        if str(invite.pk) == wanted:
            services.withdraw_invite(by=viewer, invite=invite)
            messages.warning(request, _("The invite link no longer works."))
    return HttpResponseRedirect(request.path)


def _page(
    request: HttpRequest,
    viewer: Membership,
    *,
    invite_form: InviteForm | None = None,
    fresh: Sequence[FreshInvite] = (),
    refused: ConsentForm | None = None,
    status: int = 200,
) -> HttpResponse:
    now = right_now()
    invite_form = invite_form or InviteForm(viewer)
    roster = clubs.roster(viewer.club, now)
    locked = accounts.locked_among((*roster.members, *roster.coaches), now=now)
    shown = show_people(viewer, roster, now, refused=refused, fresh=fresh, locked=locked)
    context = {
        "shown": shown,
        "invite_form": invite_form,
        # The one whose errors stand at the head of the page.
        "form": refused or invite_form,
    }
    return render(request, "pages/people/people.html", context, status=status)


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
                return _page(request, viewer, refused=form, status=400)
            accounts.note_consent(by=viewer, membership=person, note=form.cleaned_data["note"])
            messages.success(request, _("Noted. {name}’s account is open.").format(name=name))
        elif doing == "lift":
            accounts.lift_lock(by=viewer, membership=person)
            messages.success(request, _("{name} can try to sign in again.").format(name=name))
        elif doing == "archive":
            accounts.archive_membership(by=viewer, membership=person)
            messages.warning(request, _("{name}’s account is archived.").format(name=name))
        elif doing == "reopen":
            accounts.reopen_membership(by=viewer, membership=person)
            messages.success(request, _("{name}’s account is open again.").format(name=name))
    except Refusal as refusal:
        messages.error(request, refusal.message)
    return back


def _card(request: HttpRequest, viewer: Membership, person: Membership) -> HttpResponse:
    """A one-time sign-in card, shown and printed once."""
    code = accounts.make_sign_in_code(by=viewer, membership=person)
    address = request.build_absolute_uri(reverse("code"))
    shown = show_card(person, code, address, days=accounts.CODE_DAYS)
    return render(request, "pages/people/code_card.html", {"shown": shown})
