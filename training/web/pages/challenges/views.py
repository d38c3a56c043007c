"""All challenges and seasons of a club; a coach announces one here, an owner opens the posts."""

from __future__ import annotations

from dataclasses import replace

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.rights import may_coach
from training.rules import Sight
from training.selectors.challenges import challenges_of
from training.selectors.seasons import seasons_of
from training.services import challenges as services
from training.services import posting
from training.services.validating import require_in_reach
from training.web.admission import member, right_now
from training.web.pages.challenges.forms import AnnounceForm, next_saturday
from training.web.pages.challenges.shown import show_challenges
from training.web.parts.rules_of_one import rules_entered
from training.web.parts.season_form import SeasonForm


@require_http_methods(["GET", "HEAD", "POST"])
@member
def challenges(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The list; a POST announces, names a season, or opens and closes the posts to all."""
    now, status = right_now(), 200
    doing = request.POST.get("do", "") if request.method == "POST" else ""
    announce = AnnounceForm(
        request.POST if doing == "announce" else None,
        club=viewer.club,
        today=next_saturday(now, viewer.club),
    )
    season = SeasonForm(request.POST if doing == "season" else None)
    form: forms.Form = season if season.is_bound else announce
    if request.method == "POST":
        if not may_coach(viewer):
            raise PermissionDenied(_("Only a coach of the club may do this."))
        status = 400
        try:
            done = _do(viewer, doing, announce, season)
            if done:
                messages.success(request, done)
                return HttpResponseRedirect(reverse("challenges", args=[viewer.club.slug]))
        except Refusal as refusal:
            status = refusal.status
            if form.is_bound:
                field = refusal.field if refusal.field in form.fields else None
                form.add_error(field, refusal.message)
            else:
                messages.error(request, refusal.message)
    context = {
        "shown": show_challenges(
            viewer,
            challenges_of(viewer, now),
            seasons_of(viewer, now),
            request.build_absolute_uri("/").rstrip("/"),
            now,
        ),
        "announce": announce,
        "season": season,
        "form": form,
    }
    return render(request, "pages/challenges/challenges.html", context, status=status)


def _do(viewer: Membership, doing: str, announce: AnnounceForm, season: SeasonForm) -> str:
    """Do one thing, and say so; empty where the form cannot be used. Raises Refusal."""
    now = right_now()
    if doing == "publish":
        posting.publish(club=viewer.club, by=viewer, now=now)
        return _("Whoever has the address below can read the posts. An earlier one leads nowhere.")
    if doing == "unpublish":
        posting.unpublish(club=viewer.club, by=viewer)
        return _("Nobody outside the club reads the posts any more.")
    if doing == "season" and season.is_valid():
        made = services.make_season(by=viewer, now=now, **season.cleaned_data)
        return _("{name} is there.").format(name=made.name)
    if doing == "announce" and announce.is_valid():
        _announce(viewer, announce)
        return _("Announced. Whom it is for reads when it opens, and nothing of its crosses.")
    return ""


def _announce(viewer: Membership, form: AnnounceForm) -> None:
    entered = form.cleaned_data
    for field in ("opens_day", "closes_day"):
        require_in_reach(entered[field], field)
    rules = replace(
        rules_entered(viewer.club, entered),
        colours=tuple(entered["colours"]),
        answers_to=entered["answers_to"],
        table_to=Sight.CLOSING.value,
        best_sets_counted=None,
    )
    services.announce(
        club=viewer.club,
        rules=rules,
        window=form.window(),
        scrambles=entered["scrambles"],
        by=viewer,
        name=entered["name"],
        question_hours=entered["question_hours"],
        groups=entered.get("groups") or (),
        now=right_now(),
    )
