"""The tables of a day, of a week, of all time."""

from __future__ import annotations

from training import ranking
from training.api.serializers.sets import SetHead
from training.api.serializers.shape import Shape
from training.selectors import table_rows, timed_plans


class Score(Shape):
    """Marks added up: moves over the best, crosses solved, solved at the best, crosses counted."""

    class Meta:
        dataclass = ranking.Score


class Cell(Shape):
    """One scramble of one member. `points` is null where nothing is counted, or not yet."""

    class Meta:
        dataclass = table_rows.Cell
        extra_kwargs = {
            "state": {
                "help_text": "`to_come`: no plan yet in an open set; `missing`: none in a closed "
                "one; `pending`: in, and not checked yet."
            }
        }


class SetScore(Shape):
    """One set of one member. `score` is null where the set does not count for the member.

    `outside` is what plans of such a set came to: it enters no total.
    """

    class Meta:
        dataclass = table_rows.SetScore
        inner = (Score,)


class Placing(Shape):
    """One member's line of a table. `mean`, in points a set, is null where sums are ranked.

    The table of all time has no `cells`: it may be of thousands of plans.
    """

    class Meta:
        dataclass = table_rows.Placing
        ref_name = "Row"
        inner = (Score, Cell, SetScore)


class WithoutRank(Shape):
    """A line without a rank: of somebody for whom no set counts, or who is still planning."""

    class Meta:
        dataclass = table_rows.WithoutRank
        ref_name = "RowWithoutRank"
        inner = (Score, Cell, SetScore)


class TimedPlans(Shape):
    """A member's plans of a set that are in time, which charge nobody: in under 17 s, one look.

    `mean`: milliseconds of inspection, known to within `give_or_take`; `over`: how many took 15
    seconds or more beyond doubt. The best mean over comes first. A set that does not leave timing
    to its members has none, and a table that is not open to you neither.
    """

    class Meta:
        dataclass = timed_plans.TimedPlans
        inner = (Score,)


class Table(Shape):
    """A table as you may see it. The table of the sets under `sealed` is not open to you yet."""

    class Meta:
        dataclass = table_rows.Table
        inner = (SetHead, Placing, WithoutRank)
