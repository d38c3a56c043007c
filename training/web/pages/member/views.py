"""One person of the club for its coaches: names, role, age, consent, and all that is kept."""

from __future__ import annotations

from collections.abc import Callable

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from training.models import Membership
from training.refusals import Refusal
from training.selectors.clubs import membership_in
from training.services import accounts, counting, exporting, particulars
from training.web.admission import coach, right_now
from training.web.pages.member.forms import AgeMarkForm, CompetingForm, NameForm, RoleForm
from training.web.pages.member.shown import show_data, show_member


def _found(viewer: Membership, membership_id: int) -> Membership:
    member = membership_in(viewer.club, membership_id)
    if member is None:
        raise Http404
    return member


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def member(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """See and put right what stands of somebody; a POST does one thing."""
    person = _found(viewer, membership_id)
    doing = request.POST.get("do", "")
    entered = request.POST if request.method == "POST" else None
    name = NameForm(entered if doing == "rename" else None, person=person)
    role = RoleForm(entered if doing == "role" else None, person=person)
    competing = CompetingForm(entered if doing == "competes" else None, person=person)
    age = AgeMarkForm(entered if doing == "age" else None, person=person)
    status = 200
    if request.method == "POST":
        wrong: forms.Form = {"role": role, "age": age, "competes": competing}.get(doing, name)
        status = 400
        try:
            said = _do(viewer, person, doing, name, role, age, competing)
            if said:
                messages.success(request, said)
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            status = refusal.status
            if wrong.is_bound:
                field = refusal.field if refusal.field in wrong.fields else None
                wrong.add_error(field, refusal.message)
            else:
                messages.error(request, refusal.message)
        person = _found(viewer, membership_id)
    context = {
        "shown": show_member(viewer, person, right_now()),
        "name_form": name,
        "role_form": role,
        "age_form": age,
        "competing_form": competing,
        "form": next((one for one in (role, age, competing) if one.is_bound), name),
    }
    return render(request, "pages/member/member.html", context, status=status)


def _do(
    viewer: Membership,
    person: Membership,
    doing: str,
    name: NameForm,
    role: RoleForm,
    age: AgeMarkForm,
    competing: CompetingForm,
) -> str:
    """Do one thing, and say so; empty where the form cannot be used. Raises Refusal."""
    todo: dict[str, Callable[[], str]] = {
        "rename": lambda: _rename(viewer, person, name),
        "role": lambda: _role(viewer, person, role),
        "age": lambda: _age(viewer, person, age),
        "competes": lambda: _competes(viewer, person, competing),
        "withdraw_consent": lambda: _withdraw(viewer, person),
        "agrees": lambda: _on_naming(viewer, person, agrees=True),
        "takes_back": lambda: _on_naming(viewer, person, agrees=False),
    }
    return todo[doing]() if doing in todo else ""


def _rename(viewer: Membership, person: Membership, form: NameForm) -> str:
    if not form.is_valid():
        return ""
    particulars.rename(by=viewer, membership=person, **form.cleaned_data)
    return _("Others now see {name}.").format(name=person.display_name)


def _role(viewer: Membership, person: Membership, form: RoleForm) -> str:
    if not form.is_valid():
        return ""
    role = form.cleaned_data["role"]
    if role == form.HAND_OVER:
        particulars.hand_over(by=viewer, membership=person)
        said = _("{name} owns the club now; you are a coach.")
    else:
        particulars.change_role(by=viewer, membership=person, role=role)
        said = _("{name}’s role is changed.")
    return said.format(name=person.display_name)


def _age(viewer: Membership, person: Membership, form: AgeMarkForm) -> str:
    if not form.is_valid():
        return ""
    under_18 = form.cleaned_data["age"] == "under"
    particulars.mark_age(by=viewer, membership=person, under_18=under_18)
    return _("{name}’s age is put right.").format(name=person.display_name)


def _competes(viewer: Membership, person: Membership, form: CompetingForm) -> str:
    if not form.is_valid():
        return ""
    competes = form.cleaned_data["in_tables"] == "yes"
    counting.choose_competing(by=viewer, membership=person, competes=competes)
    return _("Noted, from the next set that opens.")


def _withdraw(viewer: Membership, person: Membership) -> str:
    accounts.withdraw_consent(by=viewer, membership=person)
    return _("Noted. {name}’s account is closed until a new consent is noted.").format(
        name=person.display_name
    )


def _on_naming(viewer: Membership, person: Membership, *, agrees: bool) -> str:
    particulars.note_guardian_on_naming(by=viewer, membership=person, agrees=agrees)
    return _("Noted, with your name and the time.")


@require_safe
@coach
def data(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """All that the club keeps of somebody, for a guardian who asks. The log notes it."""
    person = _found(viewer, membership_id)
    now = right_now()
    try:
        found = exporting.club_data(by=viewer, membership=person, now=now)
    except Refusal as refusal:
        messages.error(request, refusal.message)
        return HttpResponseRedirect(reverse("member", args=[viewer.club.slug, person.pk]))
    shown = show_data(viewer, person, found, now)
    return render(request, "pages/member/data.html", {"shown": shown})
