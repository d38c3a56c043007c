"""All of a group review as one table, a line a finding, so that a spreadsheet can filter it.

``part`` says what a line is about: ``idea`` (the group), ``habit`` (a slip,
undone moves, the choice of colour; ``moves_lost`` in points), ``member``,
``member and idea``, ``scramble``, ``week``, ``other loss``, ``quiet``. Fields
that a part does not have are empty. Heads, parts and the codes of ideas are the
same in every tongue, so that a sheet made for one file fits the next; ``said`` is
in the reader's.
"""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _

from training import statistics
from training.selectors.group_reviews import GroupLine, GroupReview
from training.selectors.reviews import TechniqueLine
from training.selectors.scramble_items import Item
from training.sheets import Value
from training.statistics import Interval, Tally
from training.web.saying.counting import listed
from training.web.saying.rates import flag_words

HEAD = (
    *("part", "member", "group", "idea", "day", "number", "scramble", "best"),
    *("plans", "solved", "of", "count", "low", "high", "moves_lost", "said"),
)
"""``count`` of ``of``: answered of called, or exactly at the best of plans; ``low``, ``high``:
limits of that rate (90 %), empty below five."""


def _line(part: str, **fields: Value) -> list[Value]:
    fields["part"] = part
    return [fields.get(name, "") for name in HEAD]


def csv_lines(found: GroupReview) -> Iterator[list[Value]]:
    """The lines of the file below its head."""
    for one in found.techniques:
        yield _line(
            "idea",
            idea=one.code,
            moves_lost=round(one.lost, 2),
            said=_need(one),
            **_rate(one.tally, one.interval),
        )
    for habit in found.habits:
        yield _line(
            "habit",
            idea=habit.code,
            moves_lost=round(float(habit.points), 2),
            said=listed(habit.members),
        )
    for code, lost in found.other_losses:
        yield _line("other loss", idea=code, moves_lost=round(lost, 2))
    for member in found.members:
        whose = {"member": member.member, "group": ", ".join(member.groups)}
        yield _line(
            "member",
            plans=member.plans,
            solved=member.solved,
            moves_lost=member.lost,
            said=member.first or "",
            **whose,
        )
        for line in member.techniques:
            yield _line("member and idea", **whose, **_of_member(line))
    for item in found.items:
        yield _of_item(item)
    for monday, mean in found.week_means:
        by_plan: Value = "" if mean is None else round(mean, 2)
        said = _("mean per solved plan")
        yield _line("week", day=monday.isoformat(), moves_lost=by_plan, said=said)
    for name in found.quiet:
        yield _line("quiet", member=name, said=_("no plan for a week"))


def _need(line: GroupLine) -> str:
    said = [_("the group is below the target")] if line.group_lacks else []
    if line.lacking:
        said.append(_("likely need it: {names}").format(names=listed(line.lacking)))
    return "; ".join(said)


def _of_member(line: TechniqueLine) -> dict[str, Value]:
    return {
        "idea": line.code,
        "moves_lost": round(line.lost, 2),
        "said": flag_words(line.flag),
        **_rate(line.tally, line.interval),
    }


def _of_item(item: Item) -> list[Value]:
    return _line(
        "scramble",
        day=item.head.day.isoformat(),
        number=item.number,
        scramble=item.text,
        best=item.best,
        plans=item.plans,
        moves_lost=item.lost,
        said=_("stands out as hard") if item.stands_out else "",
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
