"""Groups: made, renamed, put away; many members moved at once, looked at before it is saved."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from training import clock
from training.models import Group, Membership
from training.refusals import Refusal
from training.selectors import clubs
from training.selectors.group_moves import MovePreview, move_preview
from training.selectors.groups import Groups, group_for, groups_overview
from training.services import groups as services
from training.web.admission import coach, right_now
from training.web.pages.groups.forms import NOWHERE, GroupMoveForm, GroupNameForm
from training.web.pages.groups.shown import people_to_move, show_groups
from training.web.query import whole_number


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def groups(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The groups; a POST makes, renames, puts away, takes up, or moves members."""
    if request.method != "POST":
        return _page(request, viewer)
    doing, _sep, number = request.POST.get("do", "").partition(" ")
    if doing in {"look", "move"}:
        return _move(request, viewer, saving=doing == "move")
    if doing == "make":
        return _make(request, viewer)
    if doing not in {"rename", "put_away", "take_up"}:
        return HttpResponseRedirect(request.path)
    group = group_for(viewer, whole_number(number))
    if doing == "rename":
        return _rename(request, viewer, group)
    try:
        if doing == "put_away":
            gone = services.put_away(by=viewer, group=group, now=right_now())
            words = _("{group} is gone.") if gone else _("{group} is put away. Its tables stay.")
            messages.warning(request, words.format(group=group.name))
        else:
            services.take_up(by=viewer, group=group)
            messages.success(request, _("{group} is in use again.").format(group=group.name))
    except Refusal as refusal:
        messages.error(request, refusal.message)
    return HttpResponseRedirect(request.path)


def _make(request: HttpRequest, viewer: Membership) -> HttpResponse:
    form = GroupNameForm(request.POST)
    status = 400
    if form.is_valid():
        try:
            made = services.make_group(by=viewer, name=form.cleaned_data["name"])
            messages.success(request, _("{group} is made.").format(group=made.name))
            return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            form.add_error("name", refusal.message)
            status = refusal.status
    return _page(request, viewer, name_form=form, wrong=form, status=status)


def _rename(request: HttpRequest, viewer: Membership, group: Group) -> HttpResponse:
    form = GroupNameForm(request.POST, prefix=f"group-{group.pk}")
    status = 400
    if form.is_valid():
        try:
            services.rename_group(by=viewer, group=group, name=form.cleaned_data["name"])
            messages.success(request, _("The group is called {group}.").format(group=group.name))
            return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            form.add_error("name", refusal.message)
            status = refusal.status
    return _page(request, viewer, renamed=form, wrong=form, status=status)


def _move(request: HttpRequest, viewer: Membership, *, saving: bool) -> HttpResponse:
    """Show what a move changes, or save it as it was shown."""
    now = right_now()
    found = groups_overview(viewer, now)
    form = _move_form(viewer, found, request.POST)
    if not form.is_valid():
        return _page(request, viewer, found=found, move_form=form, wrong=form, status=400)
    entered = form.cleaned_data
    people = clubs.memberships_in(viewer.club, entered["who"])
    status = 200
    try:
        group = None
        if entered["group"] != NOWHERE:
            group = group_for(viewer, int(entered["group"]))
        if saving:
            moved = services.move(
                by=viewer,
                memberships=people,
                group=group,
                from_day=entered["from_day"],
                seen=entered["seen"],
                now=now,
            )
            said = ngettext("{number} member moved.", "{number} members moved.", len(moved))
            messages.success(request, said.format(number=len(moved)))
            return HttpResponseRedirect(request.path)
        services.require_movable_day(entered["from_day"])
    except Refusal as refusal:
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        status = refusal.status
        if refusal.field is not None:
            return _page(request, viewer, found=found, move_form=form, wrong=form, status=status)
    preview = move_preview(viewer, people, group, entered["from_day"], now)
    data = request.POST.copy()
    data["seen"] = preview.state
    form.data = data
    return _page(
        request, viewer, found=found, move_form=form, preview=preview, wrong=form, status=status
    )


def _move_form(viewer: Membership, found: Groups, data: Any = None) -> GroupMoveForm:
    today = clock.local_date(right_now(), viewer.club.zone)
    groups = [(one.id, one.name) for one in found.groups if one.in_use]
    return GroupMoveForm(people_to_move(found), groups, data, initial={"from_day": today})


def _page(
    request: HttpRequest,
    viewer: Membership,
    *,
    found: Groups | None = None,
    name_form: GroupNameForm | None = None,
    move_form: GroupMoveForm | None = None,
    preview: MovePreview | None = None,
    renamed: GroupNameForm | None = None,
    wrong: GroupNameForm | GroupMoveForm | None = None,
    status: int = 200,
) -> HttpResponse:
    now = right_now()
    found = found or groups_overview(viewer, now)
    context = {
        "shown": show_groups(viewer, found, now, preview=preview, refused=renamed),
        "name_form": name_form or GroupNameForm(),
        "move_form": move_form or _move_form(viewer, found),
        "wrong": wrong,
    }
    return render(request, "pages/groups/groups.html", context, status=status)
