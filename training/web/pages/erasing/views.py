"""Erasing: what goes and what stays is seen first; a safeguard is typed; a receipt is shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from django import forms
from django.contrib.auth import logout
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from training.models import Membership, Person
from training.refusals import NotAllowed, Refusal
from training.rights import require_answer_for_all, require_erase
from training.selectors.clubs import membership_in
from training.services import erasing
from training.web.admission import coach, nothing_stays_here, right_now, signed_in
from training.web.base.standing_in import ErrorShown, error_page
from training.web.pages.erasing.forms import NameTypedForm, PhraseTypedForm
from training.web.pages.erasing.shown import EraseShown, show_erase, show_receipt


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
@signed_in
def own(request: HttpRequest) -> HttpResponse:
    """Erase oneself everywhere, for the pass phrase."""
    person = cast(Person, request.user)
    try:
        require_answer_for_all(person)
    except NotAllowed as refusal:
        return error_page(request, ErrorShown(str(refusal.title), refusal.message), refusal.status)
    form = PhraseTypedForm(request.POST if request.method == "POST" else None)

    def erase(**typed: Any) -> erasing.Receipt:
        receipt = erasing.erase_person(person=person, request=request, now=right_now(), **typed)
        logout(request)
        return receipt

    receipt, status = _asked(request, form, erase)
    if receipt is not None:
        return nothing_stays_here(_receipt(request, receipt, reverse("first"), own=True))
    shown = show_erase(erasing.what_goes_of(person), name="", back_href=reverse("own_data"))
    return _page(request, shown, form, status)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def member(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """Erase what this club keeps of somebody, for the name typed."""
    person = membership_in(viewer.club, membership_id)
    if person is None:
        raise Http404
    try:
        require_erase(viewer, person)
    except NotAllowed as refusal:
        return error_page(request, ErrorShown(str(refusal.title), refusal.message), refusal.status)
    form = NameTypedForm(request.POST if request.method == "POST" else None)

    def erase(**typed: Any) -> erasing.Receipt:
        return erasing.erase_membership(by=viewer, membership=person, now=right_now(), **typed)

    receipt, status = _asked(request, form, erase)
    if receipt is not None:
        back = reverse("people", args=[viewer.club.slug])
        return _receipt(request, receipt, back, own=False)
    back = reverse("member", args=[viewer.club.slug, person.pk])
    shown = show_erase([erasing.what_goes(person)], name=person.display_name, back_href=back)
    return _page(request, shown, form, status)


def _asked(
    request: HttpRequest, form: forms.Form, erase: Callable[..., erasing.Receipt]
) -> tuple[erasing.Receipt | None, int]:
    """Erase where that was asked for and the form allows it; else the status of the page."""
    if request.method != "POST":
        return None, 200
    if not form.is_valid():
        return None, 400
    try:
        return erase(**form.cleaned_data), 200
    except Refusal as refusal:
        _say(form, refusal)
        return None, refusal.status


def _say(form: forms.Form, refusal: Refusal) -> None:
    form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)


def _page(request: HttpRequest, shown: EraseShown, form: forms.Form, status: int) -> HttpResponse:
    context = {"shown": shown, "form": form}
    return render(request, "pages/erasing/erase.html", context, status=status)


def _receipt(
    request: HttpRequest, receipt: erasing.Receipt, next_href: str, *, own: bool
) -> HttpResponse:
    shown = show_receipt(receipt, next_href, own=own)
    return render(request, "pages/erasing/receipt.html", {"shown": shown})
