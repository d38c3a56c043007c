"""The first page: what this is, the way in, and one worked cross to step through."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from training.policies import consent_was_withdrawn, waits_for_consent, waits_to_be_let_in
from training.rights import may_enter
from training.selectors import clubs
from training.web.admission import person_of
from training.web.base.standing_in import consent_page, newcomer_page
from training.web.navigation import home_of
from training.web.pages.first.shown import club_links, show_first
from training.web.query import number_asked


@require_safe
def first(request: HttpRequest) -> HttpResponse:
    """Signed out: the first page. Signed in: the club, or the choice of one."""
    person = person_of(request)
    if person is None:
        shown = show_first(way=number_asked(request, "way"), step=number_asked(request, "step"))
        return render(request, "pages/first/first.html", {"shown": shown})
    if person.must_choose_phrase:
        return HttpResponseRedirect(reverse("phrase"))
    memberships = clubs.memberships_of(person)
    open_ones = [one for one in memberships if may_enter(one)]
    if len(open_ones) == 1:
        return HttpResponseRedirect(home_of(open_ones[0]))
    for one in () if open_ones else memberships:
        if waits_for_consent(one):
            return consent_page(request, one.club, withdrawn=consent_was_withdrawn(one))
        if waits_to_be_let_in(one):
            return newcomer_page(request, one.club)
    return render(request, "pages/first/clubs.html", {"clubs": club_links(open_ones)})
