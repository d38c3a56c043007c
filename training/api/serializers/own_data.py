"""Everything about a person, and a club's log."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Entries, WholeNumber
from training.api.paging import Paged
from training.api.serializers.shape import Shape
from training.models import Done
from training.selectors import deeds, kept_in_club, own_data


class KeptPlan(Shape):
    """A plan. `report` is all that was said of it; null while it is `sealed` or not checked."""

    report = serializers.DictField(
        allow_null=True, help_text="As the solver made it, by the rules of its `version`."
    )

    outlook = serializers.DictField(
        allow_null=True, help_text="What it leaves beyond the cross, as the solver made it."
    )

    class Meta:
        dataclass = kept_in_club.KeptPlan


class ClubData(Shape):
    """All that one club keeps of somebody."""

    class Meta:
        dataclass = kept_in_club.ClubData
        inner = (KeptPlan,)
        extra_kwargs = {
            "plans_not_yours_yet": {
                "help_text": "Left out: plans that you may not see before their set closes."
            },
            "log": {
                "help_text": "Lines of the club's log in which this member stands. `by` is empty "
                "for whoever runs the server, `whom` for anybody else."
            },
        }


class OwnData(Shape):
    """Everything that is kept about you. `account` is null for a token, which opens clubs alone."""

    class Meta:
        dataclass = own_data.OwnData
        inner = (ClubData,)


class LogLine(Shape):
    """Who did what to whom. `by` is null for whoever runs the server."""

    what = serializers.ChoiceField(choices=Done.values)

    class Meta:
        dataclass = deeds.LogLine


class ClubLog(Paged):
    """Some lines of a club's log, newest first."""

    lines = LogLine(many=True)
    has_older = serializers.BooleanField()


class LogAsked(Entries):
    """Which lines."""

    start = WholeNumber(
        min_value=0, max_value=1_000_000, default=0, help_text="The first line, from 0."
    )
