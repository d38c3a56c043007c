"""Seasons: which sets feed one, and its table at any time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from training import challenging, clock, ranking
from training.models import Challenge, Group, Kind, Membership, Plan, Scramble, Season
from training.ranking import Score, Summed
from training.rules import CAP
from training.selectors.challenge_results import (
    ConfirmedResult,
    confirmed_result,
    confirmed_scores,
    newest_confirmation,
)
from training.selectors.counting import Whose, people_of
from training.selectors.season_ends import sets_of, stands_by_itself_at
from training.selectors.table_rows import name_of
from training.selectors.table_sums import SetSum, sums_of
from training.visibility import Sealed


@dataclass(frozen=True, slots=True)
class SeasonHead:
    """A season without its table: from when to when, what feeds it, how many sets count."""

    id: int
    name: str
    first_day: date
    last_day: date
    kinds: tuple[str, ...]
    best_sets_counted: int | None
    begun: bool
    over: bool
    confirmed: bool


@dataclass(frozen=True, slots=True)
class SeasonLine:
    """One member's line. ``mean``: points a set, where means are ranked; else None."""

    rank: int
    membership_id: int
    member: str
    own: bool
    score: Score
    sets: int
    mean: Fraction | None


@dataclass(frozen=True, slots=True)
class SeasonTable:
    """A season's table from the sets that have closed.

    ``late``: members for whom some of them do not count, by the mean. ``sets``:
    how many have closed; ``confirmed_sets``: of so many the confirmed numbers are
    added up; ``to_come``: how many are open, being checked or not confirmed.
    ``result``: the last table, once it is confirmed; never of a ``group``'s own.
    ``stands_at``: when the last table stands by itself, of a season that is over;
    None while something waits, and once it is confirmed.
    """

    head: SeasonHead
    rows: tuple[SeasonLine, ...]
    late: tuple[SeasonLine, ...]
    sets: int
    confirmed_sets: int
    to_come: int
    result: ConfirmedResult | None
    group: str = ""
    stands_at: datetime | None = None


def seasons_of(viewer: Membership, now: datetime) -> list[SeasonHead]:
    """The seasons of a club, the newest at the head. Two queries."""
    today = clock.local_date(now, viewer.club.zone)
    found = Season.objects.filter(club=viewer.club_id).prefetch_related("confirmations")
    return [head_of_season(one, today) for one in found]


def season_for(viewer: Membership, season_id: int) -> Season:
    """One season of the viewer's club. Raises Sealed."""
    found = Season.objects.filter(club=viewer.club_id, pk=season_id).first()
    if found is None:
        raise Sealed
    found.club = viewer.club
    return found


def head_of_season(season: Season, today: date) -> SeasonHead:
    """A season without its table."""
    return SeasonHead(
        id=season.pk,
        name=season.name,
        first_day=season.first_day,
        last_day=season.last_day,
        kinds=tuple(season.kinds),
        best_sets_counted=season.best_sets_counted,
        begun=challenging.has_begun(season, today),
        over=challenging.is_over(season, today),
        confirmed=bool(season.confirmations.all()),
    )


def season_table(
    viewer: Membership, season: Season, now: datetime, group: Group | None = None
) -> SeasonTable:
    """A season's table as it stands, or that of a group's own. A constant number of queries."""
    people, sums, sets = sums_of_season(season, now, group)
    lines = {pk: one for pk, one in sums.items() if one is not None}
    head = head_of_season(season, clock.local_date(now, season.club.zone))
    confirmation = newest_confirmation(season) if group is None and head.confirmed else None
    live = [(pk, one.score) for pk, one in lines.items()]
    return SeasonTable(
        head=head,
        rows=season_lines(viewer.pk, people, lines, late=False),
        late=season_lines(viewer.pk, people, lines, late=True),
        sets=len(sets.counted),
        confirmed_sets=sets.confirmed,
        to_come=sets.to_come,
        result=None if confirmation is None else confirmed_result(confirmation, viewer.pk, live),
        group=group.name if group else "",
        stands_at=stands_by_itself_at(season) if head.over and not head.confirmed else None,
    )


@dataclass(frozen=True, slots=True)
class SetsOfSeason:
    """The sets that are added up, of how many of them confirmed numbers, and how many wait."""

    counted: tuple[int, ...]
    confirmed: int
    to_come: int


def sums_of_season(
    season: Season, now: datetime, group: Group | None = None
) -> tuple[dict[int, Membership], dict[int, Summed | None], SetsOfSeason]:
    """Everybody of the club, what each one's sets add up to, and which sets those are.

    ``group``: of whom belonged to it all the while that a set was open, that set counts.
    """
    rows = list(sets_of(season).order_by("opens_at"))
    closed = [one for one in rows if one.closes_at <= now]
    ids = [one.pk for one in closed]
    confirmed = confirmed_scores(ids)
    sums = sums_of(ids)
    crosses = _crosses(ids)
    everybody, periods = people_of(season.club_id)
    whose = Whose(closed, periods, group)
    found = {}
    for one in everybody:
        inside = whose.inside(one.pk)
        theirs = ids if group is None else [pk for pk in ids if pk in inside]
        counted = {
            pk: confirmed[pk].get(one.pk)
            if pk in confirmed
            else (_score(sums.get(one.pk, {}).get(pk), crosses[pk]) if pk in inside else None)
            for pk in theirs
        }
        scores = [counted.get(pk) for pk in ids]
        found[one.pk] = ranking.summed(scores, season.best_sets_counted)
    pending = _pending(ids)
    challenges = set(
        Challenge.objects.filter(scramble_set__in=ids).values_list("scramble_set_id", flat=True)
    )
    unsettled = (pending - set(confirmed)) | (challenges - set(confirmed))
    sets = SetsOfSeason(
        counted=tuple(ids),
        confirmed=len(confirmed),
        to_come=len(rows) - len(closed) + len(unsettled),
    )
    return {one.pk: one for one in everybody}, found, sets


def _score(sums: SetSum | None, crosses: int) -> Score:
    """What one set came to; a cross without a checked plan counts the cap, one that waits none."""
    sums = sums or SetSum()
    unsolved = crosses - sums.score.crosses - sums.pending
    return sums.score + Score(CAP * unsolved, crosses=unsolved)


def _crosses(ids: Sequence[int]) -> dict[int, int]:
    found = dict.fromkeys(ids, 0)
    rows = Scramble.objects.filter(scramble_set__in=ids, void=False).order_by()
    for set_id in rows.values_list("scramble_set_id", flat=True):
        found[set_id] += 1
    return found


def _pending(ids: Sequence[int]) -> set[int]:
    """Those of some sets of which a plan waits."""
    found = Plan.objects.pending().for_counting_scrambles().filter(scramble__scramble_set__in=ids)
    return set(found.order_by().values_list("scramble__scramble_set_id", flat=True))


def season_lines(
    own: int, people: Mapping[int, Membership], sums: Mapping[int, Summed], *, late: bool
) -> tuple[SeasonLine, ...]:
    """Lines ranked by the sum; of those who are ``late``, by the mean."""
    those = [(pk, one) for pk, one in sums.items() if one.late == late]
    orders = [ranking.mean_order(one.counting) if late else one.score.order for _pk, one in those]
    lines = [
        SeasonLine(
            rank=rank,
            membership_id=pk,
            member=name_of(people[pk]),
            own=pk == own,
            score=one.score,
            sets=len(one.counting),
            mean=ranking.mean_order(one.counting)[0] if late else None,
        )
        for rank, (pk, one) in zip(ranking.ranks(orders), those, strict=True)
    ]
    return tuple(sorted(lines, key=lambda line: (line.rank, line.member.casefold())))


def next_number(season: Season | None, club_id: int) -> int:
    """The number that the next challenge has: in its season, or in a club without one."""
    found = Challenge.objects.of_club(club_id)
    if season is not None:
        found = found.filter(scramble_set__in=sets_of(season))
    return found.count() + 1


def season_of(club_id: int, day: date, kind: str = Kind.CHALLENGE) -> Season | None:
    """The season that a set of a kind feeds which is to close on ``day``. One query."""
    found = Season.objects.filter(club=club_id, first_day__lte=day, last_day__gte=day)
    return next((one for one in found.select_related("club") if kind in one.kinds), None)
