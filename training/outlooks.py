"""What many plans of one member left beyond their crosses. Pure: facts of plans in, sums out.

Noted, never counted. Everything is a count over the member's own crosses, so
nothing is estimated but how often it may be so in the long run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solverworker.outlook import PlanOutlook
from solverworker.report import COLOURS
from training.statistics import Tally


@dataclass(frozen=True, slots=True)
class LookedAt:
    """One checked plan. ``colours``: allowed; ``solved``: the colour that it solved, if any."""

    outlook: PlanOutlook
    colours: tuple[str, ...]
    solved: str | None


@dataclass(frozen=True, slots=True)
class OutlookHabits:
    """What a member's plans leave.

    Of ``solved`` plans: ``left``, moves to the nearest first pair, summed;
    ``least``, the same of the best shortest cross of each; ``nearest``: plans
    after which no shortest cross leaves a nearer pair, of all; ``longer_pays``:
    plans whose cross and pair together would have been shorter by a cross one
    move longer than by any shortest one. ``hands``: of plans that are one of
    several shortest ways, those of which none is easier on the hands.
    ``pairs``: pairs written ahead; of them ``pairs_in`` are in at the end, and
    ``pairs_best`` took as few moves with the cross as any.

    Of ``crosses``, solved or not: ``own_colours``, in which one was solved;
    ``saved``: by other colours what one of them more would have saved, moves
    of the best cross, the most first. ``awaited``: plans not looked at yet.
    """

    solved: int
    left: int
    least: int
    nearest: Tally
    longer_pays: int
    hands: Tally
    pairs: int
    pairs_in: int
    pairs_best: int
    crosses: int
    own_colours: tuple[str, ...]
    saved: tuple[tuple[str, int], ...]
    awaited: int


def habits_of(plans: Sequence[LookedAt], *, awaited: int = 0) -> OutlookHabits:
    """Add up what some plans leave."""
    ends = [
        (one.own, one.shortest, one.longer)
        for one in (plan.outlook for plan in plans)
        if one.own and one.shortest and one.longer
    ]
    hands = [one.outlook.hands for one in plans if one.outlook.hands]
    with_choice = [one for one in hands if one.ways > 1]
    pairs = [one.outlook.pair_ahead for one in plans if one.outlook.pair_ahead]
    own_colours = tuple(name for name in COLOURS if any(one.solved == name for one in plans))
    return OutlookHabits(
        solved=len(ends),
        left=sum(own.left for own, _, _ in ends),
        least=sum(shortest.left for _, shortest, _ in ends),
        nearest=Tally(sum(own.left <= shortest.left for own, shortest, _ in ends), len(ends)),
        longer_pays=sum(
            longer.moves + longer.left < shortest.moves + shortest.left
            for _, shortest, longer in ends
        ),
        hands=Tally(sum(not one.easier for one in with_choice), len(with_choice)),
        pairs=len(pairs),
        pairs_in=sum(one.solved for one in pairs),
        pairs_best=sum(one.solved and one.whole == one.best for one in pairs),
        crosses=len(plans),
        own_colours=own_colours,
        saved=saved_by(plans, own_colours),
        awaited=awaited,
    )


def saved_by(plans: Sequence[LookedAt], own_colours: Sequence[str]) -> tuple[tuple[str, int], ...]:
    """What each colour that is not among the own would have saved, the most first.

    Each cross is looked at in the best of the own colours that were allowed
    (of those allowed, where none is own), and one more colour saves what its
    cross is shorter. Ties in the order of COLOURS.

    >>> found = PlanOutlook(distances=(6, 4, 7, 5, 6, 6))
    >>> saved_by([LookedAt(found, ("white",), "white")] * 2, ["white"])[:3]
    (('yellow', 4), ('blue', 2), ('green', 0))
    """
    saved = dict.fromkeys((name for name in COLOURS if name not in own_colours), 0)
    for one in plans:
        far = dict(zip(COLOURS, one.outlook.distances, strict=True))
        mine = [name for name in one.colours if name in own_colours] or one.colours
        best = min(far[name] for name in mine)
        for name in saved:
            saved[name] += max(0, best - far[name])
    return tuple(sorted(saved.items(), key=lambda each: -each[1]))
