"""Signing in and out, one-time codes, a new pass phrase."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import login, logout, update_session_auth_hash
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from training.refusals import InvalidEntry, Refusal
from training.services import accounts
from training.services import sign_in as signing
from training.web.admission import person_of, to_sign_in
from training.web.pages.sign_in.forms import CodeForm, PhraseForm, SignInForm


def _next(request: HttpRequest) -> str:
    """Where to go after signing in: a page of this site, or the first page."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    if url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    ):
        return wanted
    return reverse("first")


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Name and pass phrase."""
    if person_of(request) is not None:
        return HttpResponseRedirect(_next(request))
    form = SignInForm(request.POST if request.method == "POST" else None)
    facts = {"form": form, "next": _next(request)}
    if request.method != "POST":
        return render(request, "pages/sign_in/sign_in.html", facts)
    if not form.is_valid():
        return render(request, "pages/sign_in/sign_in.html", facts, status=400)
    try:
        person = signing.prove(
            request=request,
            sign_in_name=form.cleaned_data["sign_in_name"],
            phrase=form.cleaned_data["phrase"],
        )
    except Refusal as refusal:
        facts["refused"] = refusal
        return render(request, "pages/sign_in/sign_in.html", facts, status=refusal.status)
    login(request, person)
    return HttpResponseRedirect(_next(request))


@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
def code(request: HttpRequest) -> HttpResponse:
    """Name and the one-time code from a card."""
    form = CodeForm(request.POST if request.method == "POST" else None)
    facts: dict[str, object] = {"form": form}
    if request.method != "POST":
        return render(request, "pages/sign_in/code.html", facts)
    if not form.is_valid():
        return render(request, "pages/sign_in/code.html", facts, status=400)
    try:
        person = signing.prove(
            request=request,
            sign_in_name=form.cleaned_data["sign_in_name"],
            one_time_code=form.cleaned_data["code"],
        )
    except Refusal as refusal:
        facts["refused"] = refusal
        return render(request, "pages/sign_in/code.html", facts, status=refusal.status)
    login(request, person)
    return HttpResponseRedirect(reverse("phrase"))


@sensitive_post_parameters("phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def phrase(request: HttpRequest) -> HttpResponse:
    """Choose a new pass phrase."""
    person = person_of(request)
    if person is None:
        return to_sign_in(request)
    form = PhraseForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            accounts.choose_phrase(person=person, phrase=form.cleaned_data["phrase"])
        except InvalidEntry as refusal:
            form.add_error("phrase", refusal.message)
        else:
            update_session_auth_hash(request, person)
            messages.success(request, "Your new pass phrase is set.", extra_tags="kept")
            return HttpResponseRedirect(reverse("first"))
    status = 200 if request.method != "POST" else 400
    facts = {"form": form, "must": person.must_choose_phrase}
    return render(request, "pages/sign_in/phrase.html", facts, status=status)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Leave. By a button, never by a link."""
    logout(request)
    messages.success(request, "You are signed out.", extra_tags="kept")
    return HttpResponseRedirect(reverse("first"))
