"""All of a group review as one table, a line a fact, so that a spreadsheet can filter it.

``part`` says what a line is about: ``idea`` (the group), ``member``,
``member and idea``, ``scramble``, ``week``, ``other loss``, ``quiet``. Fields
that a part does not have are empty.
"""

from __future__ import annotations

from collections.abc import Iterator

from training import statistics
from training.selectors.group_reviews import GroupReview, Item
from training.selectors.reviews import TechniqueLine
from training.statistics import Interval, Tally
from training.web.spreadsheet import Value

HEAD = (
    *("part", "member", "group", "idea", "day", "number", "scramble", "best"),
    *("plans", "solved", "of", "count", "low", "high", "moves_lost", "said"),
)
"""``count`` of ``of``: answered of called, or exactly at the best of plans; ``low``, ``high``:
limits of that rate (90 %), empty below five."""

Row = list[Value]


def _row(part: str, **fields: Value) -> Row:
    fields["part"] = part
    return [fields.get(name, "") for name in HEAD]


def rows(found: GroupReview) -> Iterator[Row]:
    """The lines of the file below its head."""
    for one in found.techniques:
        said = ["the group is below the target"] if one.group_lacks else []
        said += [f"likely need it: {', '.join(one.lacking)}"] if one.lacking else []
        yield _row(
            "idea",
            idea=one.code,
            moves_lost=round(one.lost, 2),
            said="; ".join(said),
            **_rate(one.tally, one.interval),
        )
    for code, lost in found.other_losses:
        yield _row("other loss", idea=code, moves_lost=round(lost, 2))
    for member in found.members:
        whose = {"member": member.member, "group": ", ".join(member.groups)}
        yield _row(
            "member", plans=member.plans, solved=member.solved, moves_lost=member.lost, **whose
        )
        for line in member.techniques:
            yield _row("member and idea", **whose, **_of_member(line))
    for item in found.items:
        yield _of_item(item)
    for monday, mean in found.week_means:
        by_plan: Value = "" if mean is None else round(mean, 2)
        yield _row("week", day=monday.isoformat(), moves_lost=by_plan, said="mean a solved plan")
    for name in found.quiet:
        yield _row("quiet", member=name, said="no plan for a week")


def _of_member(line: TechniqueLine) -> dict[str, Value]:
    return {
        "idea": line.code,
        "moves_lost": round(line.lost, 2),
        "said": str(line.flag),
        **_rate(line.tally, line.interval),
    }


def _of_item(item: Item) -> Row:
    return _row(
        "scramble",
        day=item.head.day.isoformat(),
        number=item.number,
        scramble=item.text,
        best=item.best,
        plans=item.plans,
        moves_lost=item.lost,
        said="stands out as hard" if item.stands_out else "",
        **_rate(Tally(item.exact, item.plans), item.facility),
    )


def _rate(tally: Tally, interval: Interval | None) -> dict[str, Value]:
    few = interval is None or tally.called < statistics.LEAST_CALLED
    return {
        "count": tally.answered,
        "of": tally.called,
        "low": "" if few or interval is None else round(interval.low, 3),
        "high": "" if few or interval is None else round(interval.high, 3),
    }
