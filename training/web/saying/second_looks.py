"""What is said when a plan is looked at again: a rotation that was forgotten, what was found."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.cube.first_hold import (
    HOLDS_BY_COLOURS,
    TopAndFront,
    colours_of,
    with_rotation,
)
from solverworker.cube.holds import follow_scramble, walk
from solverworker.cube.notation import parse
from solverworker.report import PlanReport
from training.entry import hold_of
from training.selectors.second_looks import FoundAgain
from training.web.saying.counting import count
from training.web.saying.holds import hold_words
from training.web.saying.plans import colour_name
from training.web.saying.stories import set_as_moves


@dataclass(frozen=True, slots=True)
class Forgotten:
    """A rotation before an unsolved plan that explains everything.

    ``said``: what the plan would be worth with it; ``read``: how it was read, and what that comes
    to; ``title``: over its steps with the rotation; ``hold``: the one it fits. ``plan``: it with
    the rotation, to the cross of ``colour``, in ``moves``; ``exact``: no plan needs fewer.
    """

    said: str
    read: str
    title: str
    hold: str
    plan: str
    colour: str
    moves: int
    exact: bool


def forgotten_rotation(
    scramble: str, report: PlanReport, *, freely: bool = False, held: str = ""
) -> Forgotten | None:
    """What to say first and alone where a rotation before the plan explains everything.

    ``freely``: the set has the hold told beside the plan, and ``held`` are its colours (empty: as
    the scramble leaves it), so that another hold is told and no rotation. None where no rotation
    makes the plan solve the cross.
    """
    hint = next((one for one in report.hints if one.kind == "held"), None)
    if hint is None or report.solved or not report.ledger:
        return None
    begun = colours_of(follow_scramble(scramble).hold)
    to = TopAndFront(hint.top, hint.front)
    written, rotation = report.canonical, with_rotation(scramble, "", top=to.top, front=to.front)
    if freely and held:
        # The plan has the rotations before it that the told hold means: they are not its own.
        begun = hold_of(held)
        turned = with_rotation(scramble, "", top=begun.top, front=begun.front)
        written = written.removeprefix(turned).strip()
        to = colours_of(walk(parse(turned), HOLDS_BY_COLOURS[to]).hold)
    over, hold = report.moves - report.best, hold_words(to)
    return Forgotten(
        said=_worth(freely=freely, over=over).format(
            rotation=rotation, hold=hold, moves=report.moves, over=over
        ),
        read=_read(begun, to, freely=freely),
        title=_("Step by step, held with {hold}").format(hold=hold)
        if freely
        else _("Step by step, with {rotation} first").format(rotation=rotation),
        hold=hold,
        plan=with_rotation(scramble, written, top=to.top, front=to.front),
        colour=hint.colour,
        moves=report.moves,
        exact=not over,
    )


def _worth(*, freely: bool, over: int) -> str:
    if freely and over:
        return _("Held with {hold}, this plan solves in {moves}, {over} over the best.")
    if freely:
        return _("Held with {hold}, this plan solves in {moves}, exactly the best.")
    if over:
        return _("With {rotation} first, this plan solves in {moves}, {over} over the best.")
    return _("With {rotation} first, this plan solves in {moves}, exactly the best.")


def _read(begun: TopAndFront, to: TopAndFront, *, freely: bool) -> str:
    """How it was read, and what that comes to."""
    if freely:
        return _(
            "It was read as held with {hold}, as told beside it. As read it does not solve the "
            "cross; a coach can accept it held the other way."
        ).format(hold=hold_words(begun))
    if begun.top == to.top:
        return _(
            "It was read as held with {hold}. As read it does not solve the cross; a coach can "
            "accept it with the rotation."
        ).format(hold=hold_words(begun))
    return _(
        "It was read as held with {top} on top. As read it does not solve the cross; a coach "
        "can accept it with the rotation."
    ).format(top=colour_name(begun.top))


def say_found_again(one: FoundAgain) -> SafeString:
    """What was found on a second look, and with how many hints.

    >>> say_found_again(FoundAgain(2, 3, "R' D", 1))
    'Found on the second look, from move 3: <b class="moves">R&#x27; D</b> (1 hint).'
    """
    if one.hints:
        said = _("Found on the second look, from move {number}: `{moves}` ({hints}).")
    else:
        said = _("Found on the second look, from move {number}: `{moves}`, without a hint.")
    return set_as_moves(
        said.format(number=one.number, moves=one.moves, hints=count(one.hints, "hint"))
    )
