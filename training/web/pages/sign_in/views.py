"""Signing in and out, one-time codes, a new pass phrase."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.views import RedirectURLMixin
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST
from django.views.generic.edit import FormView

from training.refusals import Refusal
from training.rights import may_choose_phrase
from training.services import accounts
from training.services import sign_in as signing
from training.services.sessions import enter
from training.web.admission import nothing_stays_here, person_of, to_sign_in
from training.web.pages.sign_in.forms import CodeForm, PhraseForm, SignInForm

if TYPE_CHECKING:
    _SignInView = FormView[SignInForm]
else:
    _SignInView = FormView


@method_decorator(sensitive_post_parameters("phrase"), name="dispatch")
class SignIn(RedirectURLMixin, _SignInView):
    """Name and pass phrase. Leads on to the page of this site that was wanted, or to the first."""

    http_method_names = ["get", "head", "post"]
    form_class = SignInForm
    template_name = "pages/sign_in/sign_in.html"
    next_page = "first"

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        person = person_of(request)
        if person is not None and person.opened_clubs is None:
            return HttpResponseRedirect(self.get_success_url())
        return super().dispatch(request, *args, **kwargs)

    def form_valid(self, form: SignInForm) -> HttpResponse:
        try:
            person = signing.prove(request=self.request, **form.cleaned_data)
        except Refusal as refusal:
            return self._again(form, refusal.status, refused=refusal)
        enter(self.request, person)
        return HttpResponseRedirect(self.get_success_url())

    def form_invalid(self, form: SignInForm) -> HttpResponse:
        return self._again(form, 400)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(next=self.get_redirect_url(), **kwargs)

    def _again(self, form: SignInForm, status: int, **more: Any) -> HttpResponse:
        context = self.get_context_data(form=form, **more)
        return self.render_to_response(context, status=status)


sign_in = SignIn.as_view()


@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
def code(request: HttpRequest) -> HttpResponse:
    """Name and the one-time code from a card."""
    form = CodeForm(request.POST if request.method == "POST" else None)
    if request.method != "POST":
        return _code_page(request, form)
    if not form.is_valid():
        return _code_page(request, form, status=400)
    try:
        person = signing.prove(
            request=request,
            sign_in_name=form.cleaned_data["sign_in_name"],
            one_time_code=form.cleaned_data["code"],
        )
    except Refusal as refusal:
        return _code_page(request, form, refused=refusal, status=refusal.status)
    enter(request, person)
    if may_choose_phrase(person):
        return HttpResponseRedirect(reverse("phrase"))
    if person.opened_clubs is not None:
        messages.info(
            request,
            _(
                "This code opens one club. For a new pass phrase you need the old one, a one-time "
                "code from each of your clubs, or a device on which you were in the others."
            ),
        )
    return HttpResponseRedirect(reverse("first"))


def _code_page(
    request: HttpRequest, form: CodeForm, *, refused: Refusal | None = None, status: int = 200
) -> HttpResponse:
    context = {"form": form, "refused": refused}
    return render(request, "pages/sign_in/code.html", context, status=status)


@sensitive_post_parameters("phrase", "old_phrase")
@require_http_methods(["GET", "HEAD", "POST"])
def phrase(request: HttpRequest) -> HttpResponse:
    """Choose a new pass phrase."""
    person = person_of(request)
    if person is None:
        return to_sign_in(request)
    asks_old = not may_choose_phrase(person)
    form = PhraseForm(request.POST if request.method == "POST" else None, asks_old=asks_old)
    status = 200 if request.method != "POST" else 400
    if request.method == "POST" and form.is_valid():
        try:
            accounts.choose_phrase(person=person, request=request, **form.cleaned_data)
        except Refusal as refusal:
            field = refusal.field if refusal.field in form.fields else None
            form.add_error(field, refusal.message)
            status = refusal.status
        else:
            enter(request, person)
            messages.success(request, _("Your new pass phrase is set."))
            return HttpResponseRedirect(reverse("first"))
    context = {"form": form, "must_choose": bool(person.code_clubs)}
    return render(request, "pages/sign_in/phrase.html", context, status=status)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Leave. By a button, never by a link."""
    logout(request)
    messages.success(request, _("You are signed out."))
    return nothing_stays_here(HttpResponseRedirect(reverse("first")))
