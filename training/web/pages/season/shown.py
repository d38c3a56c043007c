"""A season laid out: what it adds up, its table, what stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership, Season
from training.selectors.challenge_results import ResultLine
from training.selectors.seasons import SeasonLine, SeasonTable
from training.visibility import sees_group
from training.web.parts.result import ResultTable, result_row, result_table
from training.web.parts.whose_table import GroupTab, WhoseTable, group_links, group_rule
from training.web.saying.challenges import place_words, season_days, season_rule, season_state
from training.web.saying.counting import count
from training.web.saying.levels import mean_words
from training.web.saying.times import say


@dataclass(frozen=True, slots=True)
class SeasonPageShown:
    """What ``pages/season/season.html`` needs; ``late``: for whom not every set counts.

    ``place``: where the reader stands, in whole moves. ``change_href``: where a coach changes it,
    empty for members.
    """

    name: str
    of: str
    said: str
    result: ResultTable | None
    late: ResultTable | None
    rule: str
    stands: str
    may_confirm: bool
    whose: tuple[GroupTab, ...]
    place: str
    change_href: str


def show_season(
    viewer: Membership, table: SeasonTable, whose: WhoseTable, now: datetime
) -> SeasonPageShown:
    """Lay out a season."""
    head, zone = table.head, viewer.club.zone
    today = clock.local_date(now, zone)
    result = table.result
    said = [_("{sets} closed so far.").format(sets=count(table.sets, "set"))]
    if table.to_come:
        said.append(
            _("{sets} not settled yet: to come, open, being checked or not confirmed.").format(
                sets=count(table.to_come, "set")
            )
        )
    stands = ""
    if result is not None:
        when = say(result.confirmed_at, now, zone).text
        stands = (
            _("Stands since {when}, when the time for questions was over.").format(
                when=say(result.confirmed_at, now, zone).bare.text
            )
            if result.by_itself
            else _("Confirmed by {name} {when}.").format(
                name=result.by or _("a former member"), when=when
            )
        )
    elif table.stands_at is not None and table.stands_at > now:
        stands = _("Members may ask until {when}; then this table stands by itself.").format(
            when=say(table.stands_at, now, zone).bare.text
        )
    rule = [
        season_rule(head),
        _("Confirmed results count as confirmed, others as they stand now."),
        _(
            "Fewest moves over the best come first; then more crosses solved; then more solved "
            "exactly at the best; equal results share a rank."
        ),
    ]
    return SeasonPageShown(
        name=head.name,
        of=f"{season_days(head, today)} · {season_state(head)}",
        said=" ".join(said),
        result=_table(table.rows, _("Table of the season"))
        if result is None
        else _confirmed([one for one in result.lines if not one.late], _("Table of the season")),
        late=_table(table.late, _("Not in all sets of the season"), by_mean=True)
        if result is None
        else _confirmed(
            [one for one in result.lines if one.late],
            _("Not in all sets of the season"),
            by_mean=True,
        ),
        rule=" ".join([*rule, group_rule(whose.group)]).strip(),
        stands=stands if whose.group is None else "",
        whose=group_links(whose),
        place=_place(table),
        change_href=reverse("change_season", args=[viewer.club.slug, head.id])
        if sees_group(viewer)
        else "",
        may_confirm=sees_group(viewer)
        and whose.group is None
        and head.over
        and table.to_come == 0
        and (result is None or result.differs),
    )


def _place(table: SeasonTable) -> str:
    """The reader's own line in a sentence; empty for who has none."""
    rows, late = _lists(table)
    for rank, own, points, _mean, _sets in rows:
        if own:
            return place_words(rank, points, len(rows))
    for rank, own, _points, mean, sets in late:
        if own and mean is not None:
            return _("Not all sets of this season count for you. {place}").format(
                place=mean_words(rank, len(late), mean, sets)
            )
    return ""


_Place = tuple[int, bool, int, Fraction | None, int]


def _lists(table: SeasonTable) -> tuple[list[_Place], list[_Place]]:
    """Rank, whether the own, points, their mean where means are ranked, sets: of each list."""
    if table.result is None:
        rows, late = (
            [(one.rank, one.own, one.score.points, one.mean, one.sets) for one in lines]
            for lines in (table.rows, table.late)
        )
        return rows, late
    rows, late = [], []
    for one in table.result.lines:
        mean = Fraction(one.score.points, one.sets) if one.late else None
        (late if one.late else rows).append((one.rank, one.own, one.score.points, mean, one.sets))
    return rows, late


def _table(lines: Iterable[SeasonLine], label: str, *, by_mean: bool = False) -> ResultTable | None:
    rows = [
        result_row(
            one.rank,
            one.member,
            one.score,
            own=one.own,
            total="" if one.mean is None else f"{float(one.mean):.1f}",
        )
        for one in lines
    ]
    return result_table(rows, label, by_mean=by_mean) if rows else None


def _confirmed(
    lines: Iterable[ResultLine], label: str, *, by_mean: bool = False
) -> ResultTable | None:
    rows = [
        result_row(
            one.rank,
            one.member,
            one.score,
            own=one.own,
            now=one.now,
            total=f"{one.score.points / one.sets:.1f}" if by_mean else "",
        )
        for one in lines
    ]
    return result_table(rows, label, by_mean=by_mean) if rows else None


@dataclass(frozen=True, slots=True)
class ChangeShown:
    """What ``pages/season/change.html`` needs; ``begun``: the name alone can change."""

    name: str
    back_href: str
    begun: bool


def show_change(viewer: Membership, season: Season, *, begun: bool) -> ChangeShown:
    """Lay out the page on which a season is changed."""
    back = reverse("season", args=[viewer.club.slug, season.pk])
    return ChangeShown(season.name, back, begun)
