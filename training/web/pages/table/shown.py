"""A table laid out for its page: what it is of, columns, lines, and the rule in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training import clock
from training.models import Membership
from training.ranking import Score
from training.rules import Sight
from training.selectors.set_heads import SetHead
from training.selectors.table_rows import Cell, Period, Placing, Table
from training.visibility import sees_group
from training.web.navigation import Link
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.counting import count, listed
from training.web.saying.rates import of
from training.web.saying.times import WEEKDAYS, Said, say, say_date

_WORDS = {
    "not_solved": gettext_lazy("not solved"),
    "no_plan": gettext_lazy("no plan"),
    "withdrawn": gettext_lazy("withdrawn"),
    "missing": gettext_lazy("none"),
    "to_come": gettext_lazy("to come"),
    "pending": gettext_lazy("being checked"),
}
_OPENS = {
    Sight.OPEN: gettext_lazy("The table is open."),
    Sight.OWN_PLAN: gettext_lazy(
        "A set’s table opens to you once all your plans of it are in, or when it closes."
    ),
    Sight.CLOSING: gettext_lazy("A set’s table opens when the set has closed."),
    Sight.COACHES: gettext_lazy("The table is for the coaches."),
}


@dataclass(frozen=True, slots=True)
class CellShown:
    """One cell: a small rule with its words, or words alone."""

    rule: EightRule | None
    text: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a table as it is read."""

    rank: int
    member: str
    own: bool
    total: str
    sets: str
    solved: str
    exact: int
    cells: tuple[CellShown, ...]


@dataclass(frozen=True, slots=True)
class Ranked:
    """Members ranked under one head; ``sets_head`` is empty where no column tells of sets."""

    label: str
    total_head: str
    sets_head: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class SealedSets:
    """Sets whose table is not open to the reader yet: their days, and when it opens."""

    days: str
    opens: str


@dataclass(frozen=True, slots=True)
class TableShown:
    """What ``pages/table/table.html`` needs.

    ``of``: the time that the table is of; ``closes``: that of a day's set; ``status``: how many
    have handed in, empty while nobody is ranked. ``late``: who joined within the week, in a list
    of their own. ``rule`` is printed under all. ``empty``: why there is nothing to read.
    """

    title: str
    of: str
    closes: Said | None
    closes_verb: str
    status: str
    periods: tuple[Link, ...]
    around: tuple[Link, ...]
    ranked: Ranked
    late: Ranked
    to_come: str
    rule: str
    sealed: tuple[SealedSets, ...]
    empty: str


# The three tables --------------------------------------------------------------------


def show_day(
    viewer: Membership,
    table: Table,
    day: date,
    around: tuple[date | None, date | None],
    now: datetime,
) -> TableShown:
    """Lay out the table of the sets that close on ``day``; ``around``: the days before, after."""
    before, after = around
    return _show(
        viewer,
        table,
        now,
        title=_("{weekday}’s table").format(weekday=WEEKDAYS[day.weekday()]),
        of=say_date(day, _today(viewer, now)),
        anchor=day,
        around=(
            (_("The day before"), "table_day", before),
            (_("The day after"), "table_day", after),
        ),
    )


def show_week(viewer: Membership, table: Table, monday: date, now: datetime) -> TableShown:
    """Lay out the table of the week that begins on ``monday``."""
    today = _today(viewer, now)
    following = monday + timedelta(days=7)
    return _show(
        viewer,
        table,
        now,
        title=_("The week’s table"),
        of=_("{first_day} to {last_day}").format(
            first_day=say_date(monday, today),
            last_day=say_date(monday + timedelta(days=6), today),
        ),
        anchor=today,
        around=(
            (_("The week before"), "table_week", monday - timedelta(days=7)),
            (_("The week after"), "table_week", following if following <= today else None),
        ),
    )


def show_all_time(viewer: Membership, table: Table, now: datetime) -> TableShown:
    """Lay out the table of all time."""
    return _show(
        viewer,
        table,
        now,
        title=_("All-time table"),
        of=_("All random sets that have closed"),
        anchor=_today(viewer, now),
        around=(),
    )


def _today(viewer: Membership, now: datetime) -> date:
    return clock.local_date(now, viewer.club.zone)


def _show(
    viewer: Membership,
    table: Table,
    now: datetime,
    *,
    title: str,
    of: str,
    anchor: date,
    around: Sequence[tuple[str, str, date | None]],
) -> TableShown:
    slug = viewer.club.slug
    last = table.sets[-1] if table.sets and table.period == "day" else None
    return TableShown(
        title=title,
        of=of,
        closes=say(last.closes_at, now, viewer.club.zone) if last else None,
        closes_verb=_("closed") if last and last.has_closed else _("closes"),
        status=_status(table) if table.rows else "",
        periods=_periods(slug, table.period, anchor),
        around=tuple(
            Link(words, reverse(name, args=[slug, day]), False)
            for words, name, day in around
            if day is not None
        ),
        ranked=_ranked(table, table.rows, title, by_mean=table.by_mean),
        late=_ranked(table, table.late, _("Joined within the week"), by_mean=True),
        to_come=listed(table.to_come),
        rule=rule_words(table),
        sealed=_sealed(table.sealed, viewer, _today(viewer, now)),
        empty=_empty(table),
    )


def _periods(slug: str, here: Period, anchor: date) -> tuple[Link, ...]:
    """The ways to the tables of a day, the week around ``anchor``, all time."""
    day = (
        reverse("table_day", args=[slug, anchor])
        if here == "day"
        else reverse("table", args=[slug])
    )
    return (
        Link(_("Day"), day, here == "day"),
        Link(_("Week"), reverse("table_week", args=[slug, anchor]), here == "week"),
        Link(_("All time"), reverse("table_all", args=[slug]), here == "all"),
    )


def _sealed(heads: Sequence[SetHead], viewer: Membership, today: date) -> tuple[SealedSets, ...]:
    days: dict[str, list[str]] = {}
    for head in heads:
        sight = Sight(head.table_to)
        if sight == Sight.COACHES and sees_group(viewer):
            # A coach who competes gets there as members do under "own plan".
            sight = Sight.OWN_PLAN
        days.setdefault(str(_OPENS[sight]), []).append(say_date(head.day, today))
    return tuple(SealedSets(listed(those), opens) for opens, those in days.items())


def _empty(table: Table) -> str:
    if table.sealed or table.rows or table.late or table.to_come:
        return ""
    return _("Nobody competes here yet.") if table.sets else _("There is no set in this time.")


# Sentences -----------------------------------------------------------------------------


def rule_words(table: Table) -> str:
    """The rule that made this table, in words."""
    said = [
        _(
            "Fewest moves over the best come first; then more crosses solved; then more solved "
            "exactly at the best; equal results share a rank."
        ),
        _("A cross not solved counts 8, and no cross counts more than 8."),
    ]
    if table.period == "week":
        if table.best_sets_counted is None:
            said.append(_("All sets of the week count."))
        else:
            best = count(table.best_sets_counted, "set")
            said.append(_("The best {sets} of the week count.").format(sets=best))
        said.append(_("A week runs Monday to Sunday by the day on which a set closes."))
    if table.by_mean:
        said.append(_("Members are ranked by the mean over the sets since they joined."))
    if table.so_far:
        said.append(_("A missing plan counts 8 only once its set has closed."))
    return " ".join(said)


def _status(table: Table) -> str:
    said = [_("{members} handed in").format(members=of(table.handed_in, table.expected))]
    if table.pending:
        said.append(_("{plans} being checked").format(plans=count(table.pending, "plan")))
    if table.so_far:
        said.append(_("totals so far"))
    return " · ".join(said)


# Columns and lines -----------------------------------------------------------------------


def _ranked(table: Table, placings: Iterable[Placing], label: str, *, by_mean: bool) -> Ranked:
    return Ranked(
        label=label,
        total_head=_("mean over") if by_mean else _("moves over"),
        sets_head=_("sets") if table.by_mean else "",
        columns=_columns(table),
        lines=tuple(_line(one, table, by_mean) for one in placings),
    )


def _columns(table: Table) -> tuple[str, ...]:
    if table.by_mean:
        return ()
    if table.period == "week":
        return tuple(str(WEEKDAYS[head.day.weekday()]) for head in table.sets)
    most = max((len(one.cells) for one in table.rows), default=0)
    return tuple(str(number) for number in range(1, most + 1))


def _line(placing: Placing, table: Table, by_mean: bool) -> Line:
    score = placing.score
    mean = placing.mean if by_mean and placing.mean is not None else None
    return Line(
        rank=placing.rank,
        member=placing.member,
        own=placing.own,
        total=str(score.points) if mean is None else f"{float(mean):.1f}",
        sets=str(placing.sets),
        solved=of(score.solved, score.crosses),
        exact=score.exact,
        cells=_cells(placing, table),
    )


def _cells(placing: Placing, table: Table) -> tuple[CellShown, ...]:
    if table.by_mean:
        return ()
    if table.period == "week":
        return tuple(CellShown(None, _of_set(one.score)) for one in placing.set_scores)
    return tuple(_cell(one) for one in placing.cells)


def _of_set(score: Score | None) -> str:
    """What stands for a set in a week: points, once anything of it counts."""
    if score is None:
        return _("not yet a member")
    return str(score.points) if score.crosses else _("to come")


def _cell(cell: Cell) -> CellShown:
    if cell.state == "solved" and cell.best is not None and cell.excess is not None:
        text = f"+{cell.excess}" if cell.excess else _("best")
        return CellShown(eight_rule(cell.best, cell.moves, kind="line"), text)
    words = str(_WORDS[cell.state])
    return CellShown(None, words if cell.points is None else f"{words} · {cell.points}")
