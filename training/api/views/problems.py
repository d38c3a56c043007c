"""The pages to which the ``type`` addresses of problems lead: for people, who read them."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from training.api import errors
from training.api.problems import GROUPS, TYPES


@require_safe
def problems(request: HttpRequest) -> HttpResponse:
    """Every kind of problem, by what it is about."""
    return render(request, "api/problems.html", {"groups": GROUPS, "api": reverse("api:browse")})


@require_safe
def problem(request: HttpRequest, code: str) -> HttpResponse:
    """One kind: what it means and what to do."""
    if code not in TYPES:
        return errors.not_found(request)
    return render(request, "api/problem.html", {"problem": TYPES[code]})
