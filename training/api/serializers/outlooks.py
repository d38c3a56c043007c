"""What a plan leaves beyond its cross."""

from __future__ import annotations

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from solverworker import outlook
from solverworker.report import COLOURS
from training.api.serializers.shape import Shape


class PairLeft(Shape):
    """A cross and how many moves the nearest first pair is from where it ends.

    `way` is the cross, `then` the pair, as the plan's member holds the cube.
    """

    class Meta:
        dataclass = outlook.PairLeft


class OnTheHands(Shape):
    """A plan among the shortest ways: what it costs the hands, how many are easier.

    A convention of this site, without a unit: it orders ways and means nothing else.
    """

    class Meta:
        dataclass = outlook.OnTheHands


class PairAhead(Shape):
    """The moves written for the first pair, beside the least from there and from the scramble."""

    class Meta:
        dataclass = outlook.PairAhead


class Outlook(Shape):
    """What a plan leaves beyond its cross: noted, in no table. Exact over all ways of a length.

    `own`, `shortest` and `longer` are null of a plan that does not solve, `hands` unless the
    plan is a shortest way of its colour, `pair_ahead` where no pair was written.
    """

    distances = serializers.SerializerMethodField(help_text="The best of each colour's cross.")

    class Meta:
        dataclass = outlook.PlanOutlook
        ref_name = "Outlook"
        inner = (PairLeft, OnTheHands, PairAhead)

    @extend_schema_field(
        {"type": "object", "properties": {one: {"type": "integer"} for one in COLOURS}}
    )
    def get_distances(self, found: outlook.PlanOutlook) -> dict[str, int]:
        return dict(zip(COLOURS, found.distances, strict=True))
