"""Series, and a week as its coach plans it."""

from __future__ import annotations

from typing import Any, ClassVar

from rest_framework import serializers

from training.api.fields import Day, Entries, OneOf, Text, Texts, TimeOfDay, WholeNumber, YesOrNo
from training.api.serializers.shape import Shape
from training.api.setting_entries import entries_of
from training.models import SERIES_SETTINGS, Series
from training.models.series import series_kinds
from training.rules import SetRules, Sight
from training.selectors import planning, series_views
from training.services.planning import MOST_HOLIDAYS

HIGHEST = 2**63 - 1
KINDS = tuple(value for value, _label in series_kinds())
SIGHTS = tuple(one.value for one in Sight)
OF_A_DAY = tuple(one for one in SERIES_SETTINGS if one != "weekdays")

STORE = "Without it, or false, you only see what it would make."
GROUPS = "The ids of the groups that it is for, as in `groups`; none: for everybody."


def _groups() -> Texts:
    return Texts(
        child=WholeNumber(min_value=1, max_value=HIGHEST),
        required=False,
        max_length=50,
        help_text=GROUPS,
    )


def _store() -> YesOrNo:
    return YesOrNo(default=False, help_text=STORE)


class RulesOfSet(Shape):
    """What decides a result in a set. `best_sets_counted`: of a week that begins with it."""

    answers_to = serializers.ChoiceField(choices=SIGHTS)
    table_to = serializers.ChoiceField(choices=SIGHTS)

    class Meta:
        dataclass = SetRules
        ref_name = "RulesOfSet"


class ComingSet(Shape):
    """A set that a series is to have; what it holds is sealed until it opens."""

    class Meta:
        dataclass = series_views.ComingSet


class GroupOfSeries(Shape):
    """A group that a series is for."""

    class Meta:
        dataclass = series_views.GroupOfSeries


class SeriesOfSets(Shape):
    """A rule by which sets issue themselves. Weekdays count from Monday, 0."""

    kind = serializers.ChoiceField(choices=KINDS)
    opens = TimeOfDay()
    closes = TimeOfDay()

    class Meta:
        dataclass = series_views.SeriesView
        ref_name = "Series"
        inner = (RulesOfSet, ComingSet, GroupOfSeries)


class OfSettings(Entries):
    """Entries beside those that the settings of a series make."""

    settings: ClassVar[tuple[str, ...]] = SERIES_SETTINGS

    def get_fields(self) -> dict[str, Any]:
        return {**super().get_fields(), **entries_of(Series, self.settings)}

    @property
    def entered(self) -> dict[str, Any]:
        """The settings that were sent, by name."""
        return {n: one for n, one in self.validated_data.items() if n in self.settings}


class StartSeries(OfSettings):
    """A new series. What is left out is as its help says, or as a new series has it."""

    begins_on = Day(help_text="Its first day, today at the earliest.")
    groups = _groups()
    store = _store()


class ChangeSeries(OfSettings):
    """What changes of a series; what is left out stays, also if somebody changed it meanwhile."""

    groups = _groups()
    in_use = YesOrNo(
        required=False,
        help_text="false stops it, true lets it go on from today.",
    )
    store = _store()


class CrossesToCome(Shape):
    """What a set to come is to hold: nothing of its crosses themselves."""

    class Meta:
        dataclass = planning.Crosses


class PlannedSet(Shape):
    """A set on a day. `series_id`: null where somebody gave it. `set_id`: once it has opened.

    `crosses`: null where they are sealed for you, who compete.
    """

    series_id = serializers.IntegerField(source="series.pk", allow_null=True)

    class Meta:
        dataclass = planning.PlannedSet
        exclude = ("series",)
        inner = (CrossesToCome,)


class LeftOut(Shape):
    """A day of a series without its set; `held_on`: where it is held instead, or null."""

    series_id = serializers.IntegerField(source="series.pk")

    class Meta:
        dataclass = planning.LeftOut
        exclude = ("series",)


class PlannedDay(Shape):
    """A day. `off`: null, or why it is a day off (which may be empty)."""

    off = serializers.CharField(source="off.reason", allow_null=True)

    class Meta:
        dataclass = planning.PlannedDay
        inner = (PlannedSet, LeftOut)


class PlannedWeek(Shape):
    """A week from its Monday on. `version` changes with anything of it: send it with a change."""

    class Meta:
        dataclass = planning.PlannedWeek
        inner = (PlannedDay,)


class ChangeWeek(Entries):
    """What every change of a week takes."""

    version = Text(
        max_length=64, help_text="Of the week as you saw it: if it has changed, nothing is done."
    )
    store = _store()


class AddSet(OfSettings, ChangeWeek):
    """A set more on a day, by settings as a series has them."""

    groups = _groups()
    settings = OF_A_DAY


class ChangePlannedSet(ChangeWeek):
    """Another day or hour for a series' set, none of it, or its rule again."""

    do = OneOf(choices=("move", "leave_out", "put_back"))
    to_day = Day(required=False, help_text="To `move`: the day; without it the same.")
    opens = TimeOfDay(required=False, help_text="To `move`: when it opens, on the club's clock.")
    closes = TimeOfDay(required=False, help_text="To `move`: when it closes.")


class SetDayOff(ChangeWeek):
    """Whether a day is a day off."""

    off = YesOrNo()
    reason = Text(max_length=80, required=False, default="", allow_blank=True)


class Holidays(Entries):
    """Days off, many at once."""

    days = Texts(child=Day(), min_length=1, max_length=MOST_HOLIDAYS)
    reason = Text(max_length=80, required=False, default="", allow_blank=True)
    store = _store()


class NotedHolidays(serializers.Serializer[object]):
    """`noted`: how many of the days are new days off."""

    noted = serializers.IntegerField()
    stored = serializers.BooleanField()
