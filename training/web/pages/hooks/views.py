"""Web hooks of a club, for its owners."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership, WebHook
from training.refusals import Refusal
from training.selectors.hooks import delivery_in, hook_in, hooks_of
from training.services.hooks import end_hook, make_hook, renew_secret, try_again
from training.web.admission import owner, right_now
from training.web.pages.hooks.forms import HookForm
from training.web.pages.hooks.shown import show_hooks
from training.web.query import whole_number


@require_http_methods(["GET", "HEAD", "POST"])
@owner
def hooks(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The hooks with their logs; a POST makes one, ends one, or renews a secret."""
    form, secret, status = HookForm(), "", 200
    if request.method == "POST" and "hook" in request.POST:
        found = hook_in(viewer, whole_number(request.POST["hook"]))
        if found is None:
            raise Http404
        if request.POST.get("do") == "renew":
            secret = renew_secret(by=viewer, hook=found)
        elif request.POST.get("do") == "again":
            _try_again(request, viewer, found)
            return HttpResponseRedirect(request.path)
        else:
            end_hook(by=viewer, hook=found)
            messages.success(request, _("Ended. Nothing is sent there any more."))
            return HttpResponseRedirect(request.path)
    elif request.method == "POST":
        form, secret = _make(request, viewer)
        status = 200 if secret else 400
    shown = show_hooks(viewer, hooks_of(viewer), right_now())
    context = {"hooks": shown, "form": form, "secret": secret}
    return render(request, "pages/hooks/hooks.html", context, status=status)


def _try_again(request: HttpRequest, viewer: Membership, hook: WebHook) -> None:
    """Let a message be due at once. Raises Http404 for what is not there."""
    try:
        number = UUID(request.POST.get("message", ""))
    except ValueError:
        raise Http404 from None
    delivery = delivery_in(viewer, hook, number)
    if delivery is None:
        raise Http404
    try:
        try_again(by=viewer, delivery=delivery, now=right_now())
    except Refusal as refusal:
        messages.error(request, refusal.message)
    else:
        messages.success(request, _("It is sent again within a moment."))


def _make(request: HttpRequest, viewer: Membership) -> tuple[HookForm, str]:
    """The secret of a new hook, shown this once; empty when it was refused."""
    form = HookForm(request.POST)
    if not form.is_valid():
        return form, ""
    try:
        _hook, secret = make_hook(by=viewer, now=right_now(), **form.cleaned_data)
    except Refusal as refusal:
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        return form, ""
    return HookForm(), secret
