"""People: who belongs to the club, letting somebody in, cards, consent, archive."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from training.models import Membership
from training.refusals import Refusal
from training.selectors import clubs
from training.services import accounts
from training.services import people as services
from training.web.admission import coach, right_now
from training.web.pages.people.forms import ConsentForm, InviteForm
from training.web.pages.people.shown import FreshInvite, show_card, show_fresh, show_people


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def people(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The list; a POST makes an invite link, which is shown this once, or withdraws one."""
    if request.method != "POST":
        return _page(request, viewer)
    if request.POST.get("do") == "withdraw_invite":
        return _withdraw(request, viewer)
    form = InviteForm(viewer, request.POST)
    if not form.is_valid():
        return _page(request, viewer, invite_form=form, status=400)
    try:
        invite, token = services.make_invite(
            by=viewer,
            role=form.cleaned_data["role"],
            places=form.cleaned_data["places"],
            days=form.cleaned_data["days"],
        )
    except Refusal as refusal:
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        return _page(request, viewer, invite_form=form, status=refusal.status)
    address = request.build_absolute_uri(reverse("join", args=[token]))
    return _page(request, viewer, fresh=show_fresh(invite, address, viewer, right_now()))


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
    fresh: FreshInvite | None = None,
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
