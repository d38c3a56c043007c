"""How far ahead a member sees: in one sentence, drawn, and by the length of the cross."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from training import statistics
from training.account import Account
from training.reach import LEAST_AT_RISK, STEPS, Reach
from training.statistics import Tally
from training.web.parts.rate import RateShown, show_rate
from training.web.pictures.reach import ReachDrawn, draw_reach
from training.web.saying.counting import count


@dataclass(frozen=True, slots=True)
class LengthShown:
    """Exact plans of crosses with one best length: the member's, and everybody else's."""

    length: str
    own: RateShown
    group: RateShown


@dataclass(frozen=True, slots=True)
class ReachShown:
    """``title``: how far; ``drawn``: None where plans are too few; ``label``: it in words."""

    title: str
    says: str
    drawn: ReachDrawn | None
    label: str
    lengths: tuple[LengthShown, ...]


def show_reach(account: Account, group: Mapping[int, Tally], *, own: bool) -> ReachShown:
    """Lay out the reach and the exact plans by length of one account."""
    reach = account.reach
    shown = min(reach.shown, STEPS)
    drawn = draw_reach(reach) if shown else None
    return ReachShown(
        title=_title(reach, own=own),
        says=_says(reach),
        drawn=drawn,
        label="; ".join(
            _("last {moves}: {number} of 10, likely {low} to {high}").format(
                moves=count(column.moves, "move"),
                number=column.of_ten,
                low=column.low_of_ten,
                high=column.high_of_ten,
            )
            for column in (drawn.columns if drawn else ())
        ),
        lengths=tuple(
            LengthShown(
                count(best, "move"),
                _rate(tally, own=own),
                _rate(group.get(best, Tally(0, 0)), own=own),
            )
            for best, tally in account.by_length.items()
        ),
    )


def _title(reach: Reach, *, own: bool) -> str:
    if reach.reach is None or not reach.shown:
        return _("How far ahead: too few solved plans to say")
    # No further than there are plans enough to tell.
    seen = min(reach.reach, reach.shown)
    more = reach.reach > reach.shown
    if not seen:
        return _("The last move is often one too many")
    if own:
        said = _("You see at least {moves} ahead") if more else _("You see {moves} ahead")
    else:
        said = _("Sees at least {moves} ahead") if more else _("Sees {moves} ahead")
    return said.format(moves=count(seen, "move"))


def _says(reach: Reach) -> str:
    if not reach.shown:
        return _("It takes {least} solved plans to draw it.").format(least=LEAST_AT_RISK)
    said = _(
        "Of ten solved plans, how many are a shortest way over so many moves before the end. "
        "Full columns are half of them or more. The line beside a column: how many it may be in "
        "the long run, as far as these plans tell."
    )
    if reach.reach is not None and reach.reach < reach.shown:
        nearest = _("Next step: {moves}.").format(moves=count(reach.reach + 1, "move"))
        return f"{said} {nearest}"
    return said


def _rate(tally: Tally, *, own: bool) -> RateShown:
    interval = statistics.wilson(tally.answered, tally.called) if tally.called else None
    return show_rate(tally, interval, plainly=own)
