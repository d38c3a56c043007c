"""Corrections of results, for coaches: the log, a new entry, taking one back."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training import visibility
from training.api.paging import LINKED, Page
from training.api.serializers import corrections as shapes
from training.api.views.base import OF_COACHES, SENDING, CoachView, refused
from training.models import Corrected, Correction, Scramble, ScrambleSet
from training.models.corrections import OF_PLANS
from training.refusals import InvalidEntry
from training.selectors.clubs import memberships_in
from training.selectors.coach import plan_for_coach
from training.selectors.corrections import correction_count, correction_log, entry_for, shown_entry
from training.services import corrections
from training.visibility import Sealed

ENTRIES = 100
NEEDED = _("This kind of correction needs it. Send it along.")
MAKING = refused(
    {
        400: "An entry is missing or cannot be used; see errors.",
        403: "Only a coach of the club may, and no table of one's own while another coach could.",
        404: "Not there, not open yet, or another club's: they look the same.",
        409: "Corrected so already, taken back already, or other entries rest on it.",
    }
)


class Corrections(CoachView):
    """Everything that was corrected in results, newest first; and a new entry."""

    @extend_schema(
        operation_id="corrections",
        parameters=[shapes.LogOfCorrectionsAsked, *LINKED],
        responses={
            200: shapes.CorrectionLog,
            **OF_COACHES,
            **refused({400: "A filter cannot be used; see errors."}),
        },
    )
    def get(self, request: Request, slug: str) -> Response:
        asked = shapes.LogOfCorrectionsAsked(data=request.query_params)
        asked.is_valid(raise_exception=True)
        start = asked.validated_data["start"]
        found = correction_log(self.membership, timezone.now(), start=start, count=ENTRIES)
        page = Page(request, start, ENTRIES, correction_count(self.membership), by="start")
        return page.of_object(
            {
                "entries": shapes.CorrectionEntry(found.entries, many=True).data,
                "has_older": found.has_older,
            }
        )

    @extend_schema(
        operation_id="correct",
        request=shapes.Correct,
        responses={201: shapes.CorrectionEntry, **OF_COACHES, **SENDING, **MAKING},
    )
    def post(self, request: Request, slug: str) -> Response:
        form = shapes.Correct(data=request.data)
        form.is_valid(raise_exception=True)
        now = timezone.now()
        entry = self._corrected(now, **form.validated_data)
        return self._entry(entry, now, status.HTTP_201_CREATED)

    def _corrected(self, now: datetime, *, kind: str, reason: str, **about: Any) -> Correction:
        by: dict[str, Any] = {"by": self.membership, "reason": reason, "now": now}
        if kind in OF_PLANS:
            _found, plan = plan_for_coach(self.membership, _named(about, "plan"), now)
            if kind == Corrected.PLAN_WITHDRAWN:
                return corrections.withdraw_plan(plan=plan, **by)
            if kind == Corrected.TIME_EXCUSED:
                return corrections.excuse_time(plan=plan, **by)
            return corrections.accept_rotation(plan=plan, **by)
        scramble_set = _set(self, _named(about, "set"), now)
        if kind == Corrected.SET_OUT:
            return corrections.take_set_out(scramble_set=scramble_set, **by)
        if kind == Corrected.KEPT_OPEN:
            if "until" not in about:
                raise InvalidEntry(str(NEEDED), field="until")
            ids = about.get("members", ())
            members = memberships_in(self.membership.club, ids)
            if len(members) < len(set(ids)):
                raise Sealed
            return corrections.keep_open(
                scramble_set=scramble_set,
                until=about["until"],
                members=members,
                begins=about.get("begins"),
                **by,
            )
        numbered = Scramble.objects.select_related("scramble_set").filter(
            scramble_set=scramble_set, number=_named(about, "number")
        )
        scramble = numbered.first()
        if scramble is None:
            raise Sealed
        if kind == Corrected.SPARE:
            return corrections.put_spare(scramble=scramble, **by)
        return corrections.void_scramble(scramble=scramble, **by)

    def _entry(self, entry: Correction, now: datetime, code: int) -> Response:
        shown = shown_entry(self.membership, entry_for(self.membership, entry.pk, now), now)
        return Response(shapes.CorrectionEntry(shown).data, status=code)


class Undoing(Corrections):
    """Take an entry back by another one."""

    http_method_names = ["post", "options"]

    @extend_schema(
        operation_id="undo_correction",
        request=shapes.Undo,
        responses={201: shapes.CorrectionEntry, **OF_COACHES, **SENDING, **MAKING},
    )
    def post(self, request: Request, slug: str, correction_id: int) -> Response:  # type: ignore[override]
        form = shapes.Undo(data=request.data)
        form.is_valid(raise_exception=True)
        now = timezone.now()
        entry = entry_for(self.membership, correction_id, now)
        undone = corrections.undo(
            correction=entry, by=self.membership, reason=form.validated_data["reason"], now=now
        )
        return self._entry(undone, now, status.HTTP_201_CREATED)


def _named(about: dict[str, Any], what: str) -> int:
    if what not in about:
        raise InvalidEntry(str(NEEDED), field=what)
    return int(about[what])


def _set(view: CoachView, set_id: int, now: datetime) -> ScrambleSet:
    found = visibility.shared_sets(view.membership, now).filter(pk=set_id).first()
    if found is None:
        raise Sealed
    return found
