"""A table laid out for its page: columns, lines, and the rule in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from training.ranking import Score
from training.selectors.table_rows import Cell, Placing, Table
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.counting import count, listed
from training.web.saying.times import WEEKDAYS, say_date

_ORDER = (
    "Fewest moves over the best come first; then more crosses solved; then more solved exactly at "
    "the best; equal results share a rank."
)
_COUNTING = "A cross not solved counts 8, and no cross counts more than 8."
_WORDS = {
    "not_solved": "not solved",
    "no_plan": "no plan",
    "withdrawn": "withdrawn",
    "missing": "none",
    "to_come": "to come",
    "pending": "being checked",
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
class TableShown:
    """What ``parts/table.html`` needs. ``rule`` is printed under it."""

    total_head: str
    sets_head: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]
    late: tuple[Line, ...]
    to_come: str
    rule: str
    status: str
    sealed: tuple[str, ...]


def show_table(table: Table, today: date) -> TableShown:
    """Lay out a table as its viewer may see it."""
    by_mean = table.by_mean
    return TableShown(
        total_head="mean over" if by_mean else "moves over",
        sets_head="sets" if by_mean else "",
        columns=_columns(table),
        lines=tuple(_line(row, table, by_mean) for row in table.rows),
        late=tuple(_line(row, table, True) for row in table.late),
        to_come=listed(table.to_come),
        rule=rule_words(table),
        status=_status(table),
        sealed=tuple(say_date(head.day, today) for head in table.sealed),
    )


def rule_words(table: Table) -> str:
    """The rule that made this table, in words."""
    parts = [_ORDER, _COUNTING]
    if table.period == "week":
        if table.best_sets_counted is None:
            parts.append("All sets of the week count.")
        else:
            parts.append(f"The best {count(table.best_sets_counted, 'set')} of the week count.")
        parts.append("A week runs Monday to Sunday by the day on which a set closes.")
    if table.by_mean:
        parts.append("Members are ranked by the mean over the sets since they joined.")
    if table.so_far:
        parts.append("A missing plan counts 8 only once its set has closed.")
    return " ".join(parts)


def _status(table: Table) -> str:
    said = f"{table.handed_in} of {table.expected} handed in"
    if table.pending:
        said += f" · {count(table.pending, 'plan')} being checked"
    if table.so_far:
        said += " · totals so far"
    return said


def _columns(table: Table) -> tuple[str, ...]:
    if table.by_mean:
        return ()
    if table.period == "week":
        return tuple(WEEKDAYS[head.day.weekday()] for head in table.sets)
    most = max((len(row.cells) for row in table.rows), default=0)
    return tuple(str(number) for number in range(1, most + 1))


def _line(row: Placing, table: Table, by_mean: bool) -> Line:
    mean = row.mean if by_mean and row.mean is not None else None
    return Line(
        rank=row.rank,
        member=row.member,
        own=row.own,
        total=str(row.score.points) if mean is None else f"{float(mean):.1f}",
        sets=str(row.sets) if by_mean else "",
        solved=f"{row.score.solved} of {row.score.crosses}",
        exact=row.score.exact,
        cells=_cells(row, table),
    )


def _cells(row: Placing, table: Table) -> tuple[CellShown, ...]:
    if table.by_mean:
        return ()
    if table.period == "week":
        return tuple(CellShown(None, _of_set(one.score)) for one in row.set_scores)
    return cells_shown(row.cells)


def _of_set(score: Score | None) -> str:
    """What stands for a set in a week: points, once anything of it counts."""
    if score is None:
        return "not yet a member"
    return str(score.points) if score.crosses else "to come"


def cells_shown(cells: Sequence[Cell]) -> tuple[CellShown, ...]:
    """Cells of scrambles: solved ones with their rule, the others in words."""
    return tuple(_cell(cell) for cell in cells)


def _cell(cell: Cell) -> CellShown:
    if cell.state == "solved" and cell.best is not None and cell.excess is not None:
        text = "best" if cell.excess == 0 else f"+{cell.excess}"
        return CellShown(eight_rule(cell.best, cell.moves, kind="line"), text)
    words = _WORDS[cell.state]
    return CellShown(None, f"{words} · {cell.points}" if cell.points is not None else words)
