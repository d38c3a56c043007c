"""The questions that wait for a coach, and those that were answered last."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.selectors.questions import answered_lately, question_for, questions_to_answer
from training.services.questions import answer
from training.web.admission import coach, right_now
from training.web.pages.questions.forms import AnswerForm
from training.web.pages.questions.shown import show_questions
from training.web.query import whole_number


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def questions(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Each with its plan and a form; a POST answers one."""
    now, status, asked = right_now(), 200, 0
    form = AnswerForm()
    if request.method == "POST":
        asked = whole_number(request.POST.get("question", ""))
        question = question_for(viewer, asked, now)
        form, status = AnswerForm(request.POST), 400
        try:
            if form.is_valid():
                answer(
                    question=question,
                    by=viewer,
                    words=form.cleaned_data["answer"],
                    correction=form.cleaned_data["correction"],
                    reason=form.cleaned_data["reason"],
                    now=now,
                )
                messages.success(request, _("Answered. Whoever asked reads it."))
                return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            status = refusal.status
            field = refusal.field if refusal.field in form.fields else None
            form.add_error(field, refusal.message)
    waiting = questions_to_answer(viewer, now)
    shown = show_questions(viewer, waiting, answered_lately(viewer, now), now, answering=asked)
    context = {"shown": shown, "form": form, "empty_form": AnswerForm()}
    return render(request, "pages/questions/questions.html", context, status=status)
