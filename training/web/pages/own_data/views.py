"""My data: everything that is kept of whoever is signed in, and putting names right."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Person
from training.refusals import Refusal
from training.selectors.clubs import membership_of
from training.services import exporting, particulars
from training.web.admission import right_now, signed_in
from training.web.pages.own_data.forms import OwnNameForm, SignInNameForm
from training.web.pages.own_data.shown import show_own_data


@require_http_methods(["GET", "HEAD", "POST"])
@signed_in
def own_data(request: HttpRequest) -> HttpResponse:
    """Everything by club; a POST changes the sign-in name, or the name that others see."""
    person = cast(Person, request.user)
    doing = request.POST.get("do", "")
    sign_in = SignInNameForm(request.POST if doing == "sign_in_name" else None, person=person)
    name = OwnNameForm(request.POST if doing == "display_name" else None)
    if request.method != "POST":
        return _page(request, person, sign_in, name)
    wrong = name if name.is_bound else sign_in
    try:
        if doing == "sign_in_name" and sign_in.is_valid():
            particulars.change_sign_in_name(person=person, **sign_in.cleaned_data)
            messages.success(
                request,
                _("From now on you sign in as {name}.").format(name=person.sign_in_name),
            )
            return HttpResponseRedirect(request.path)
        own = membership_of(person, request.POST.get("club", ""))
        if doing in {"named", "unnamed"} and own is not None:
            particulars.choose_named_outside(membership=own, named=doing == "named")
            messages.success(request, _("Noted for this club."))
            return HttpResponseRedirect(request.path)
        if doing == "display_name" and own is not None and name.is_valid():
            particulars.rename(by=own, membership=own, **name.cleaned_data)
            messages.success(
                request, _("Others now see you as {name}.").format(name=own.display_name)
            )
            return HttpResponseRedirect(request.path)
    except Refusal as refusal:
        wrong.add_error(refusal.field if refusal.field in wrong.fields else None, refusal.message)
    person.refresh_from_db(fields=["sign_in_name"])
    return _page(request, person, sign_in, name, status=400)


def _page(
    request: HttpRequest,
    person: Person,
    sign_in: SignInNameForm,
    name: OwnNameForm,
    status: int = 200,
) -> HttpResponse:
    now = right_now()
    found = exporting.own_data(person=person, now=now)
    context = {
        "shown": show_own_data(found, person, now),
        "sign_in_form": sign_in,
        "name_form": name,
        # The one whose errors stand at the head of the page.
        "form": name if name.is_bound else sign_in,
    }
    return render(request, "pages/own_data/own_data.html", context, status=status)
