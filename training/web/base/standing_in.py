"""Whole pages that stand in for the one asked for: what went wrong, and an account not open."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from training.models import Club, Membership


@dataclass(frozen=True, slots=True)
class ErrorShown:
    """What ``base/error.html`` needs.

    ``then``: what to do; ``kept``: what was typed, to copy; ``sign_in_href``: where to sign in
    again and come back. Each may be empty.
    """

    title: str
    said: str
    then: str = ""
    kept: str = ""
    sign_in_href: str = ""


def error_page(request: HttpRequest, shown: ErrorShown, status: int) -> HttpResponse:
    """Say what does not work and what to do."""
    return render(request, "base/error.html", {"shown": shown}, status=status)


def consent_page(
    request: HttpRequest,
    club: Club,
    *,
    just_joined: bool = False,
    withdrawn: bool = False,
    status: int = 200,
) -> HttpResponse:
    """Tell a child that a coach first notes a guardian's consent; ``withdrawn``: a new one."""
    context = {"waiting_in": club, "just_joined": just_joined, "withdrawn": withdrawn}
    return render(request, "base/waiting_for_consent.html", context, status=status)


def newcomer_page(request: HttpRequest, club: Club, *, status: int = 200) -> HttpResponse:
    """Tell somebody who has joined that a coach lets them in."""
    return render(request, "base/waiting_to_be_let_in.html", {"waiting_in": club}, status=status)


def archived_page(request: HttpRequest, gone: Membership) -> HttpResponse:
    """Tell somebody whose account a coach has archived why nothing opens.

    What they typed there and can hand in no more leaves the browser.
    """
    context = {"closed_in": gone.club, "forgets": gone.pk}
    return render(request, "base/archived.html", context, status=403)
