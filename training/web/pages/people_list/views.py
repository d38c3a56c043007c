"""Members from a pasted list, and sign-in cards for many at once."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.rights import may_enter
from training.selectors import clubs
from training.selectors.groups import Groups, groups_overview
from training.selectors.people_lists import ListPreview, newest_list
from training.services import accounts
from training.services import people_lists as services
from training.web.admission import coach, right_now
from training.web.pages.people_list.forms import LISTED, NEVER_IN, CardsForm, ListForm
from training.web.pages.people_list.shown import show_cards, show_list
from training.web.query import whole_number

_ALL_WERE_IN = _("Everybody of these has signed in before. Tick this to make cards all the same.")


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def people_list(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Paste a list, look at every line, save all or nothing, take it back."""
    if request.method != "POST":
        return _page(request, viewer)
    if request.POST.get("do") == "undo":
        return _undo(request, viewer)
    form = ListForm(request.POST)
    if not form.is_valid():
        return _page(request, viewer, form=form, status=400)
    text, preview, status = form.cleaned_data["text"], None, 200
    try:
        if request.POST.get("do") == "save":
            seen = form.cleaned_data["seen"]
            made = services.save_list(by=viewer, text=text, seen=seen, now=right_now())
            said = ngettext("{number} member added.", "{number} members added.", len(made))
            messages.success(request, said.format(number=len(made)))
            return HttpResponseRedirect(reverse("cards", args=[viewer.club.slug]))
        preview = services.look_at_list(by=viewer, text=text)
    except Refusal as refusal:
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        status = refusal.status
        if request.POST.get("do") == "save":
            preview = services.look_at_list(by=viewer, text=text)
    if preview is not None:
        data = request.POST.copy()
        data["seen"] = preview.state
        form.data = data
    return _page(request, viewer, form=form, preview=preview, status=status)


def _undo(request: HttpRequest, viewer: Membership) -> HttpResponse:
    try:
        number = whole_number(request.POST.get("list", ""))
        gone = services.take_back_list(by=viewer, list_id=number, now=right_now())
        said = ngettext("{number} member removed again.", "{number} members removed again.", gone)
        messages.warning(request, said.format(number=gone))
    except Refusal as refusal:
        messages.error(request, refusal.message)
    return HttpResponseRedirect(request.path)


def _page(
    request: HttpRequest,
    viewer: Membership,
    *,
    form: ListForm | None = None,
    preview: ListPreview | None = None,
    status: int = 200,
) -> HttpResponse:
    now = right_now()
    shown = show_list(viewer, preview, newest_list(viewer, now), now)
    context = {"shown": shown, "form": form or ListForm()}
    return render(request, "pages/people_list/people_list.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def cards(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Choose for whom; a POST makes the codes and shows them this once, to be printed."""
    now = right_now()
    found = groups_overview(viewer, now)
    choices = [(one.id, one.name) for one in found.groups if one.in_use]
    has_list = newest_list(viewer, now) is not None
    sent = request.POST if request.method == "POST" else None
    form = CardsForm(choices, sent, has_list=has_list)
    status = 200
    if sent is not None:
        status = 400
        if form.is_valid():
            people = asked = _chosen(viewer, found, form.cleaned_data["who"])
            if not form.cleaned_data["again"]:
                people = [one for one in asked if one.person.last_login is None]
            open_ones = [one for one in people if may_enter(one)]
            if not open_ones and any(may_enter(one) for one in asked):
                form.add_error("again", _ALL_WERE_IN)
                return _choose(request, form, status)
            try:
                made = services.make_cards(by=viewer, memberships=open_ones, now=now)
                address = request.build_absolute_uri(reverse("code"))
                left_out = [one for one in people if not may_enter(one)]
                shown = show_cards(made, left_out, address, days=accounts.CODE_DAYS)
                return render(request, "pages/people_list/cards.html", {"shown": shown})
            except Refusal as refusal:
                status = refusal.status
                form.add_error("who" if refusal.field else None, refusal.message)
    return _choose(request, form, status)


def _choose(request: HttpRequest, form: CardsForm, status: int) -> HttpResponse:
    return render(request, "pages/people_list/choose_cards.html", {"form": form}, status=status)


def _chosen(viewer: Membership, found: Groups, who: str) -> list[Membership]:
    """The members for whom cards are asked: of the last list, of a group, or all."""
    now = right_now()
    if who == LISTED:
        saved = newest_list(viewer, now)
        return list(saved.members) if saved is not None else []
    roster = clubs.roster(viewer.club, now)
    members = [*roster.members, *roster.waiting_for_consent]
    if who != NEVER_IN:
        group = next((one for one in found.groups if str(one.id) == who), None)
        ids = {one.id for one in group.members} if group is not None else set()
        members = [one for one in members if one.pk in ids]
    return sorted(members, key=lambda one: one.display_name.casefold())
