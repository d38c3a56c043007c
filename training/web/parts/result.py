"""The result of a challenge or a season as a table of few columns, which fits a phone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from training.ranking import Score


@dataclass(frozen=True, slots=True)
class ResultRow:
    """One line. ``total``: moves over the best, or their mean; ``note``: what it would be now."""

    rank: str
    member: str
    own: bool
    total: str
    solved: str
    exact: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class ResultTable:
    """What ``parts/result.html`` needs; ``total_anchor`` as :func:`total_anchor` has it."""

    label: str
    total_head: str
    total_anchor: str
    rows: tuple[ResultRow, ...]


def result_row(
    rank: int,
    member: str,
    score: Score,
    *,
    own: bool = False,
    now: int | None = None,
    total: str = "",
) -> ResultRow:
    """Lay out one line; ``now``: its points after later corrections, None where they are equal."""
    note = ""
    if now is not None:
        note = _("now {now}, confirmed {confirmed}").format(now=now, confirmed=score.points)
    return ResultRow(
        rank=str(rank),
        member=member,
        own=own,
        total=total or str(score.points),
        solved=str(score.solved),
        exact=str(score.exact),
        note=note,
    )


def result_table(rows: Iterable[ResultRow], label: str, *, by_mean: bool = False) -> ResultTable:
    """Lay out a table."""
    head = _("mean over") if by_mean else _("over")
    return ResultTable(label, head, total_anchor(by_mean=by_mean), tuple(rows))


def total_anchor(*, by_mean: bool) -> str:
    """Where the guide for members says what a column of totals means.

    >>> total_anchor(by_mean=True), total_anchor(by_mean=False)
    ('mean-over', 'over')
    """
    return "mean-over" if by_mean else "over"
