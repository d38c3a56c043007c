"""Seasons: which sets they add up, by which numbers, and a plain recomputation beside.

The rules are the club's own. Equal ranks: standard competition ranking, as `scipy.stats.rankdata`
with `method="min"` makes it.
"""

from __future__ import annotations

import random
from datetime import datetime, timedelta
from fractions import Fraction

import pytest
from scipy.stats import rankdata

from tests.conftest import NOON, Given, make_membership
from tests.training.challenged import DAY, HOUR, a_challenge, planned
from training.models import Challenge, Club, Kind, Membership, Plan, ScrambleSet, Season
from training.ranking import Score, summed
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.rules import Sight
from training.selectors.seasons import season_table
from training.services import accounts, corrections
from training.services.challenges import change_season, make_season, remove_season
from training.services.confirming import confirm, confirm_season, settle_due

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

FIRST = NOON - 30 * DAY
TODAY = NOON.date()


def a_season(club: Club, best: int | None = None, kinds: tuple[str, ...] = (Kind.CHALLENGE,)):
    return Season.objects.create(
        club=club,
        name="autumn",
        first_day=FIRST.date(),
        last_day=TODAY - DAY,
        kinds=list(kinds),
        best_sets_counted=best,
    )


def weekly(club: Club, number: int, scrambles: int = 1) -> Challenge:
    """The challenge of a week of the season, open for a day."""
    opens = FIRST + DAY + number * 5 * DAY
    return a_challenge(club, opens=opens, closes=opens + DAY, scrambles=scrambles)


EXACT, ONE_OVER, NOT_SOLVED = "D' R'", "D2 D R'", "U"
POINTS = {EXACT: 0, ONE_OVER: 1, NOT_SOLVED: 8, None: 8}


@pytest.mark.parametrize("seed", range(8))
def test_a_season_is_a_plain_recomputation(
    club: Club, given: Given, owner: Membership, seed: int
) -> None:
    """Periods, voids, withdrawn plans, sets taken out, confirmed numbers, best k, own list."""
    source = random.Random(seed)
    best = source.choice([None, 2, 3])
    season = a_season(club, best)
    challenges = [weekly(club, number) for number in range(4)]
    # The last one: members may still ask about it.
    late = a_challenge(club, opens=NOON - 60 * HOUR, closes=NOON - 36 * HOUR, scrambles=1)
    challenges.append(late)
    people = [make_membership(club, name) for name in ("Ada", "Bo", "Cy", "Di")]
    out_of: dict[str, set[int]] = {one.display_name: set() for one in people}
    marks: dict[tuple[str, int], int] = {}
    for challenge in challenges:
        for who in people:
            if source.random() < 0.8:
                moves = source.choice([EXACT, ONE_OVER, NOT_SOLVED])
                planned(given, challenge, who, [moves])
                marks[who.display_name, challenge.pk] = POINTS[moves]
    for who in people[:2]:
        # Archived over one of the challenges, and open again for the rest.
        gone = source.choice(challenges)
        opens = gone.scramble_set.opens_at
        accounts.archive_membership(by=owner, membership=who, now=opens + 2 * HOUR)
        accounts.reopen_membership(by=owner, membership=who, now=opens + 3 * HOUR)
        out_of[who.display_name].add(gone.pk)
    stands: dict[int, dict[str, int]] = {}
    void: set[int] = set()
    taken_out: set[int] = set()

    def now_of(challenge: Challenge) -> dict[str, int]:
        if challenge.pk in taken_out:
            return {}
        return {
            one.display_name: 0
            if challenge.pk in void
            else marks.get((one.display_name, challenge.pk), 8)
            for one in people
            if challenge.pk not in out_of[one.display_name]
        }

    for step in range(10):
        at = NOON + step * HOUR
        challenge = source.choice(challenges)
        act = source.randrange(4)
        open_of = Challenge.objects.select_related("scramble_set").get(pk=challenge.pk)
        if act == 0 and challenge.pk not in taken_out:
            _first_settled(challenge, stands, now_of, at)
            settle_due(now=at)
            if stands.get(challenge.pk) != now_of(challenge):
                confirm(challenge=open_of, by=owner, now=at)
                stands[challenge.pk] = now_of(challenge)
        elif act == 1:
            plans = Plan.objects.filter(scramble__scramble_set=challenge.scramble_set)
            plan = plans.exclude(status="withdrawn").order_by("?").first()
            if plan is not None:
                _first_settled(challenge, stands, now_of, at)
                corrections.withdraw_plan(plan=plan, by=owner, reason="x", now=at)
                marks[plan.membership.display_name, challenge.pk] = 8
        elif act == 2 and challenge.pk not in void:
            _first_settled(challenge, stands, now_of, at)
            scramble = given.scramble(challenge.scramble_set, 1)
            corrections.void_scramble(scramble=scramble, by=owner, reason="x", now=at)
            void.add(challenge.pk)
        elif act == 3 and len(taken_out) < 1:
            _first_settled(challenge, stands, now_of, at)
            of_set = ScrambleSet.objects.get(pk=challenge.scramble_set_id)
            corrections.take_set_out(scramble_set=of_set, by=owner, reason="x", now=at)
            taken_out.add(challenge.pk)
    table = season_table(owner, season, NOON + DAY)
    counted = [one for one in challenges if one.pk not in taken_out]
    numbers = [stands.get(one.pk, now_of(one)) for one in counted]
    sums: dict[str, int] = {}
    means: dict[str, Fraction] = {}
    for who in people:
        name = who.display_name
        points = sorted(of_set[name] for of_set in numbers if name in of_set)[:best]
        inside = sum(name in of_set for of_set in numbers)
        if inside == len(counted):
            sums[name] = sum(points)
        elif inside:
            means[name] = Fraction(sum(points), len(points))
    assert {one.member: one.score.points for one in table.rows} == sums
    assert {one.member: one.mean for one in table.late} == means
    assert [one.rank for one in table.late] == sorted(
        int(rank) for rank in rankdata([float(one) for one in means.values()], method="min")
    )
    assert table.sets == len(counted)


def _first_settled(challenge, stands, now_of, at: datetime) -> None:
    """By itself a result stands 48 hours after it closed: before what is corrected then."""
    over = challenge.scramble_set.closes_at + 48 * HOUR <= at
    if over and challenge.pk not in stands:
        current = now_of(challenge)
        if current:
            stands[challenge.pk] = current


def test_confirmed_numbers_are_added_up_and_live_ones_elsewhere(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    season = a_season(club, kinds=(Kind.CHALLENGE, Kind.DAILY))
    challenge = weekly(club, 0)
    planned(given, challenge, member, [EXACT])
    planned(given, challenge, second, [ONE_OVER])
    day = given.a_set(
        opens=FIRST + 3 * DAY, closes=FIRST + 4 * DAY, scrambles=("R D",), day=FIRST.date()
    )
    given.a_plan(member, day, 1, ONE_OVER, at=day.opens_at)
    settle_due(now=NOON)
    for one in Plan.objects.filter(membership=member):
        corrections.withdraw_plan(plan=one, by=coach, reason="x", now=NOON)
    table = season_table(member, season, NOON)
    # Confirmed 0 and 1; of the day, which nobody confirms, a withdrawn plan and none.
    assert [(one.rank, one.member, one.score.points) for one in table.rows] == [
        (1, "Ines", 8),
        (2, "Bashir", 9),
    ]
    assert (table.sets, table.confirmed_sets, table.to_come) == (2, 1, 0)


def test_what_is_for_coaches_alone_or_not_of_its_kind_feeds_no_season(
    club: Club, given: Given, member: Membership
) -> None:
    season = a_season(club, kinds=(Kind.DAILY,))
    weekly(club, 0)
    opens = FIRST + 10 * DAY
    given.a_set(opens=opens, closes=opens + DAY, answers_to=Sight.COACHES, table_to=Sight.COACHES)
    given.a_set(opens=NOON + DAY, closes=NOON + 2 * DAY)
    assert season_table(member, season, NOON).sets == 0


def test_the_last_table_is_confirmed_once_everything_in_it_is(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    season = a_season(club)
    challenge = weekly(club, 0)
    planned(given, challenge, member, [EXACT])
    planned(given, challenge, second, [ONE_OVER])
    with pytest.raises(NotAllowed):
        confirm_season(season=season, by=member, now=NOON)
    with pytest.raises(NoLongerPossible):
        confirm_season(season=season, by=coach, now=NOON - 5 * DAY)
    with pytest.raises(NoLongerPossible):
        confirm_season(season=season, by=coach, now=NOON)
    settle_due(now=NOON)
    first = confirm_season(season=season, by=coach, now=NOON)
    assert [(one.rank, one.points) for one in first.lines.all()] == [(1, 0), (2, 1)]
    with pytest.raises(NoLongerPossible):
        confirm_season(season=season, by=coach, now=NOON + HOUR)
    plan = Plan.objects.get(membership=member)
    corrections.withdraw_plan(plan=plan, by=coach, reason="x", now=NOON + HOUR)
    # The challenge's own numbers stand, so the season's do.
    table = season_table(member, season, NOON + HOUR)
    assert table.result is not None
    assert not table.result.differs
    confirm(challenge=challenge, by=coach, now=NOON + 2 * HOUR)
    table = season_table(member, season, NOON + 2 * HOUR)
    assert table.result is not None
    assert [(one.member, one.score.points, one.now) for one in table.result.lines] == [
        ("Ines", 0, 8),
        ("Bashir", 1, None),
    ]
    assert confirm_season(season=season, by=coach, now=NOON + 3 * HOUR).turn == 2


def test_what_a_season_counts_is_fixed_once_it_has_begun(club: Club, coach: Membership) -> None:
    settings = {
        "first_day": TODAY + DAY,
        "last_day": TODAY + 60 * DAY,
        "kinds": [Kind.CHALLENGE.value],
        "best_sets_counted": 6,
    }
    season = make_season(by=coach, name="Winter", now=NOON, **settings)
    change_season(
        season=season,
        by=coach,
        name="Winter",
        now=NOON,
        **settings | {"last_day": TODAY + 50 * DAY},
    )
    season.refresh_from_db()
    changed = settings | {"last_day": TODAY + 50 * DAY}
    with pytest.raises(NoLongerPossible):
        change_season(
            season=season,
            by=coach,
            name="Winter",
            now=NOON + DAY,
            **changed | {"best_sets_counted": 3},
        )
    season.refresh_from_db()
    change_season(season=season, by=coach, name="Snow", now=NOON + DAY, **changed)
    season.refresh_from_db()
    assert (season.name, season.best_sets_counted) == ("Snow", 6)
    with pytest.raises(NoLongerPossible):
        remove_season(season=season, by=coach, now=NOON + DAY)


@pytest.mark.parametrize(
    ("name", "first", "last", "kinds", "field"),
    [
        ("", 0, 9, ["challenge"], "name"),
        ("AUTUMN", 50, 60, ["challenge"], "name"),
        ("b", 9, 0, ["challenge"], "last_day"),
        ("b", -5, 5, ["challenge", "daily"], "first_day"),
        ("b", 50, 60, ["practice"], "kinds"),
    ],
)
def test_seasons_that_cannot_be(
    club: Club, coach: Membership, name: str, first: int, last: int, kinds: list[str], field: str
) -> None:
    a_season(club)
    with pytest.raises(InvalidEntry) as refused:
        make_season(
            by=coach,
            name=name,
            first_day=TODAY + timedelta(days=first),
            last_day=TODAY + timedelta(days=last),
            kinds=kinds,
            now=NOON,
        )
    assert refused.value.field == field


def test_best_of_the_sets_inside() -> None:
    """Who lacks a set has the best min(k, sets inside), and stands among those who lack one."""
    good, bad = Score(1, 1, 0, 1), Score(8, 0, 0, 1)
    whole = summed([good, bad, bad], 2)
    assert whole is not None
    assert (whole.score.points, whole.late) == (9, False)
    few = summed([bad, None, None], 2)
    assert few is not None
    assert (len(few.counting), few.late) == (1, True)
    assert summed([None], 2) is None
    assert summed([], None) is None
