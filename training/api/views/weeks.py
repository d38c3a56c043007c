"""A week as its coach plans it: what falls on each day, and every change of it.

Each change names the version of the week as it was seen; unless it is to be stored, the answer
is the week as it would be.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from training import clock
from training.api.serializers import series as shapes
from training.api.views.base import OF_COACHES, SENDING, CoachView, groups_named, refused
from training.selectors import planning
from training.selectors.planning import PlannedWeek
from training.selectors.series_views import series_for
from training.services import copied_weeks
from training.services import planning as services
from training.services.planning import Seen
from training.services.rehearsing import rehearsed
from training.visibility import Sealed

WRONG = refused({400: "An entry is missing or cannot be used; see errors."})
CHANGED = refused({409: "Somebody changed this week since you looked, or that set has opened."})
MAKING = {200: shapes.PlannedWeek, **OF_COACHES, **SENDING, **WRONG, **CHANGED}


class Week(CoachView):
    """The week in which a day lies: what falls on each of its days, what is left out, and why."""

    @extend_schema(operation_id="week", responses={200: shapes.PlannedWeek, **OF_COACHES})
    def get(self, request: Request, slug: str, day: date) -> Response:
        return Response(shapes.PlannedWeek.out(self.week(day, timezone.now())))

    def week(self, day: date, now: datetime) -> PlannedWeek:
        """Raises Sealed for a day beyond the years in which anything is planned."""
        monday = clock.week_of(day)
        if not (clock.is_in_reach(day) and clock.is_in_reach(monday)):
            raise Sealed
        return planning.week(self.membership, monday, now)


class ChangingWeek(Week):
    """What changes of a week share."""

    http_method_names = ["post", "options"]

    def changed(
        self, act: Callable[..., object], of_day: date, entered: dict[str, Any], **about: Any
    ) -> Response:
        """Do it and show the week; taken back again unless it is to be stored."""
        now = timezone.now()
        self.week(of_day, now)
        seen = Seen(clock.week_of(of_day), entered["version"])
        found = rehearsed(
            lambda: act(by=self.membership, seen=seen, now=now, **about),
            lambda _done: self.week(of_day, now),
            store=entered["store"],
        )
        return Response(shapes.PlannedWeek.out(found))


class AddingSet(ChangingWeek):
    """A set more on a day."""

    @extend_schema(operation_id="add_planned_set", request=shapes.AddSet, responses=MAKING)
    def post(self, request: Request, slug: str, day: date) -> Response:
        form = shapes.AddSet(data=request.data)
        form.is_valid(raise_exception=True)
        entered = form.validated_data
        groups = groups_named(self.membership, entered.get("groups", ()))
        return self.changed(
            services.add_set, day, entered, day=day, settings=form.entered, groups=groups
        )


class ChangingPlannedSet(ChangingWeek):
    """A series' set of a day: held on another day or at another hour, left out, put back."""

    @extend_schema(
        operation_id="change_planned_set", request=shapes.ChangePlannedSet, responses=MAKING
    )
    def post(self, request: Request, slug: str, day: date, series_id: int) -> Response:
        series = series_for(self.membership, series_id)
        form = shapes.ChangePlannedSet(data=request.data)
        form.is_valid(raise_exception=True)
        entered = form.validated_data
        about: dict[str, Any] = {"series_id": series_id, "day": day}
        if entered["do"] == "move":
            return self.changed(
                services.move,
                day,
                entered,
                to_day=entered.get("to_day", day),
                opens=entered.get("opens", series.opens),
                closes=entered.get("closes", series.closes),
                **about,
            )
        act = services.leave_out if entered["do"] == "leave_out" else services.put_back
        return self.changed(act, day, entered, **about)


class ChangingDayOff(ChangingWeek):
    """Whether a day of the week is a day off."""

    @extend_schema(operation_id="set_day_off", request=shapes.SetDayOff, responses=MAKING)
    def post(self, request: Request, slug: str, day: date) -> Response:
        form = shapes.SetDayOff(data=request.data)
        form.is_valid(raise_exception=True)
        entered = form.validated_data
        if entered["off"]:
            return self.changed(services.day_off, day, entered, day=day, reason=entered["reason"])
        return self.changed(services.day_on, day, entered, day=day)


class CopyingWeek(ChangingWeek):
    """Do once more, in this week, what was done by hand in the week before."""

    @extend_schema(operation_id="copy_last_week", request=shapes.ChangeWeek, responses=MAKING)
    def post(self, request: Request, slug: str, day: date) -> Response:
        form = shapes.ChangeWeek(data=request.data)
        form.is_valid(raise_exception=True)
        return self.changed(copied_weeks.copy_last_week, day, form.validated_data)


class NotingHolidays(CoachView):
    """A term's days off at once."""

    @extend_schema(
        operation_id="note_holidays",
        request=shapes.Holidays,
        responses={200: shapes.NotedHolidays, **OF_COACHES, **SENDING, **WRONG, **CHANGED},
    )
    def post(self, request: Request, slug: str) -> Response:
        form = shapes.Holidays(data=request.data)
        form.is_valid(raise_exception=True)
        entered, now = form.validated_data, timezone.now()
        noted = rehearsed(
            lambda: services.holidays(
                by=self.membership, days=entered["days"], reason=entered["reason"], now=now
            ),
            lambda found: found,
            store=entered["store"],
        )
        return Response({"noted": noted, "stored": entered["store"]})
