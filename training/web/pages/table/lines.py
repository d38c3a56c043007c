"""Columns, lines and cells of a table as they are read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training.models import Membership
from training.selectors.table_rows import Cell, Placing, SetScore, Table, WithoutRank
from training.visibility import sees_group
from training.web.parts.result import total_anchor
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.rates import of
from training.web.saying.times import WEEKDAYS

_WORDS = {
    "not_solved": gettext_lazy("not solved"),
    "no_plan": gettext_lazy("no plan"),
    "out_of_time": gettext_lazy("out of time"),
    "withdrawn": gettext_lazy("withdrawn"),
    "missing": gettext_lazy("none"),
    "to_come": gettext_lazy("to come"),
    "pending": gettext_lazy("being checked"),
    "void": gettext_lazy("does not count"),
}


@dataclass(frozen=True, slots=True)
class CellShown:
    """One cell: a small rule with its words, or words alone.

    ``href``: where the viewer reads the plan, empty where that is not open; ``about`` says, with
    the link, which one it is. ``column``: what stands above it.
    """

    column: str
    rule: EightRule | None
    text: str
    href: str = ""
    about: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a table as it is read; ``rank`` is empty for who has none."""

    rank: str
    member: str
    own: bool
    total: str
    sets: str
    solved: str
    exact: int
    cells: tuple[CellShown, ...]


@dataclass(frozen=True, slots=True)
class Ranked:
    """Members under one head, ranked or not.

    ``sets_head`` is empty where no column tells of sets; ``total_anchor``: where the guide for
    members says what the column of totals means.
    """

    label: str
    total_head: str
    total_anchor: str
    sets_head: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]


def ranked(
    viewer: Membership, table: Table, placings: Iterable[Placing], label: str, *, by_mean: bool
) -> Ranked:
    """Some members under one head."""
    return Ranked(
        label=label,
        total_head=_("mean over") if by_mean else _("moves over"),
        total_anchor=total_anchor(by_mean=by_mean),
        sets_head=_("sets") if table.by_mean else "",
        columns=_columns(table),
        lines=tuple(_line(viewer, one, table, by_mean) for one in placings),
    )


def not_ranked(
    viewer: Membership, table: Table, lines: Iterable[WithoutRank], label: str
) -> Ranked:
    """Lines without a rank under one head."""
    return Ranked(
        label=label,
        total_head=_("moves over"),
        total_anchor=total_anchor(by_mean=False),
        sets_head="",
        columns=_columns(table),
        lines=tuple(
            Line(
                rank="",
                member=one.member,
                own=one.own,
                total=str(one.score.points),
                sets="",
                solved=of(one.score.solved, one.score.crosses),
                exact=one.score.exact,
                cells=_cells(viewer, one, table),
            )
            for one in lines
        ),
    )


def _columns(table: Table) -> tuple[str, ...]:
    if table.by_mean:
        return ()
    if table.period == "week":
        return tuple(str(WEEKDAYS[head.day.weekday()]) for head in table.sets)
    lines: tuple[Placing | WithoutRank, ...] = (*table.rows, *table.under_way, *table.outside)
    most = max((len(one.cells) for one in lines), default=0)
    return tuple(str(number) for number in range(1, most + 1))


def _line(viewer: Membership, placing: Placing, table: Table, by_mean: bool) -> Line:
    score = placing.score
    mean = placing.mean if by_mean and placing.mean is not None else None
    return Line(
        rank=str(placing.rank),
        member=placing.member,
        own=placing.own,
        total=str(score.points) if mean is None else f"{float(mean):.1f}",
        sets=str(placing.sets),
        solved=of(score.solved, score.crosses),
        exact=score.exact,
        cells=_cells(viewer, placing, table),
    )


def _cells(
    viewer: Membership, placing: Placing | WithoutRank, table: Table
) -> tuple[CellShown, ...]:
    if table.by_mean:
        return ()
    if table.period == "week":
        about = _("plans of {member}").format(member=placing.member)
        return tuple(
            CellShown(day, None, _of_set(one), _to_set(viewer, placing, one), about)
            for day, one in zip(_columns(table), placing.set_scores, strict=True)
        )
    return tuple(_cell(viewer, placing, one) for one in placing.cells)


def _to_set(viewer: Membership, placing: Placing | WithoutRank, one: SetScore) -> str:
    """Where the plans of a set are: the own ones, or everybody's for a coach."""
    if placing.own:
        return reverse("set", args=[viewer.club.slug, one.set_id])
    return reverse("coach_set", args=[viewer.club.slug, one.set_id]) if sees_group(viewer) else ""


def _to_plan(viewer: Membership, placing: Placing | WithoutRank, cell: Cell) -> str:
    """Where a plan is read. The own page of a scramble is there without a plan, too."""
    if placing.own:
        return reverse("scramble", args=[viewer.club.slug, cell.set_id, cell.number])
    if cell.plan_id is None:
        return ""
    return reverse("coach_plan", args=[viewer.club.slug, cell.plan_id])


def _of_set(one: SetScore) -> str:
    """What stands for a set in a week: points, once anything of it counts."""
    if one.outside is not None:
        return _("({points}), does not count").format(points=one.outside.points)
    if one.score is None:
        return _("does not count")
    return str(one.score.points) if one.score.crosses else _("to come")


def _cell(viewer: Membership, placing: Placing | WithoutRank, cell: Cell) -> CellShown:
    href, number = _to_plan(viewer, placing, cell), str(cell.number)
    about = _("{member}, scramble {number}").format(member=placing.member, number=cell.number)
    if cell.state == "solved" and cell.best is not None and cell.excess is not None:
        text = f"+{cell.excess}" if cell.excess else _("best")
        return CellShown(number, eight_rule(cell.best, cell.moves, kind="line"), text, href, about)
    words = str(_WORDS[cell.state])
    text = words if cell.points is None else f"{words} · {cell.points}"
    return CellShown(number, None, text, href, about)
